import "./no-eval.ts";
import * as Comlink from "comlink";
import { solverService } from "../shared/solver-service.ts";

Comlink.expose(solverService());
