import { parentPort } from "node:worker_threads";
import * as Comlink from "comlink";
import nodeEndpoint from "comlink/dist/esm/node-adapter.mjs";
import { solverService } from "../shared/solver-service.ts";

if (!parentPort) throw new Error("This file runs as a worker thread only.");
Comlink.expose(solverService(), nodeEndpoint(parentPort));
