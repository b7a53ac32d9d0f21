import * as Comlink from "comlink";
import { decodePhotoInBrowser } from "./decode-browser.ts";
import { encodeInBrowser } from "./encode-browser.ts";
import { visionService } from "./vision-service.ts";

Comlink.expose(visionService(decodePhotoInBrowser, encodeInBrowser));
