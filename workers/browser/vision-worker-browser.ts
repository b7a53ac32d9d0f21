import * as Comlink from "comlink";
import { visionService } from "../shared/vision-service.ts";
import { decodePhotoInBrowser } from "./decode-browser.ts";
import { encodeInBrowser } from "./encode-browser.ts";

Comlink.expose(visionService(decodePhotoInBrowser, encodeInBrowser));
