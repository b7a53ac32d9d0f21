import { parentPort } from "node:worker_threads";
import * as Comlink from "comlink";
import nodeEndpoint from "comlink/dist/esm/node-adapter.mjs";
import { decodePhoto } from "../../src/photo/decode.ts";
import { LumaMemory } from "../../src/photo/grey/luma-memory.ts";
import { visionService } from "../shared/vision-service.ts";

if (!parentPort) throw new Error("This file runs as a worker thread only.");
// A worker has one photo at a time.
const memory = new LumaMemory();
Comlink.expose(
  visionService(async (bytes, name) => decodePhoto(bytes, name, { memory })),
  nodeEndpoint(parentPort),
);
