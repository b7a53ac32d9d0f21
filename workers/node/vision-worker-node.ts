import { parentPort } from "node:worker_threads";
import { loadOpenCV } from "@opencvjs/web";
import * as Comlink from "comlink";
import nodeEndpoint from "comlink/dist/esm/node-adapter.mjs";
import { visionService } from "../shared/vision-service.ts";
import { nodeDecoder } from "./decode-node.ts";

if (!parentPort) throw new Error("This file runs as a worker thread only.");
Comlink.expose(visionService(loadOpenCV, nodeDecoder()), nodeEndpoint(parentPort));
