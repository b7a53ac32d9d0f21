/** Requests from Node, with a time limit and the reason where no answer comes. */
import { type Answer, NoAnswer, type Request, type Send } from "../../replicate/stores/http.ts";
import type { Bytes } from "../../replicate/stores/store.ts";

/** A photo over a bad line takes its time; a store that is silent for so long is not there. */
const limitMs = 120_000;

const certificateCodes =
  /CERT|SELF_SIGNED|UNABLE_TO_(GET|VERIFY)|DEPTH_ZERO|ERR_TLS|HOSTNAME_MISMATCH|ALTNAME/;

export const nodeSend: Send = async ({ method, url, headers, body }: Request): Promise<Answer> => {
  try {
    const response = await fetch(url, {
      method,
      headers,
      ...(body ? { body } : {}),
      redirect: "error",
      signal: AbortSignal.timeout(limitMs),
    });
    const bytes = new Uint8Array(await response.arrayBuffer()) as Bytes;
    return { status: response.status, header: (name) => response.headers.get(name), body: bytes };
  } catch (error) {
    const { cause } = error as { cause?: { code?: string; message?: string } };
    const reason = cause?.code ?? cause?.message ?? (error as Error).message;
    throw new NoAnswer(String(reason), certificateCodes.test(String(reason)));
  }
};
