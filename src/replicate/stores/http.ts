/** What WebDAV and S3 have in common: a request, its answer, and what a bad answer means. */
import { StoreFault } from "../faults/faults.ts";
import type { Bytes } from "./store.ts";

export interface Request {
  readonly method: string;
  readonly url: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body?: Bytes;
}

export interface Answer {
  readonly status: number;
  /** Null where there is no such header, or the browser may not show it. */
  header(name: string): string | null;
  readonly body: Bytes;
}

/** No answer came. `certificate`: because the store's certificate is not trusted. */
export class NoAnswer extends Error {
  constructor(
    readonly reason: string,
    readonly certificate = false,
  ) {
    super(reason);
    this.name = "NoAnswer";
  }
}

/** Speaks to the network; throws {@link NoAnswer}. */
export type Send = (request: Request) => Promise<Answer>;

/** One request; where no answer comes, says so in words. */
export async function ask(send: Send, address: string, request: Request): Promise<Answer> {
  try {
    return await send(request);
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    throw error.certificate
      ? new StoreFault("certificate", { address, reason: error.reason })
      : new StoreFault("unreachable", { address, reason: error.reason }, true);
  }
}

/** What an answer means that is none of those expected. `writing`: an object was to be stored. */
export function faultOf(answer: Answer, address: string, writing: boolean): StoreFault {
  const { status } = answer;
  const said = new TextDecoder().decode(answer.body.slice(0, 2000));
  if (/RequestTimeTooSkewed/.test(said)) return new StoreFault("clock", { address });
  if (status === 507 || /QuotaExceeded|EntityTooLarge|XMinioStorageFull/.test(said)) {
    return new StoreFault("full", { address });
  }
  if (status === 401 || (status === 403 && !writing)) return new StoreFault("refused", { address });
  if (status === 413) return new StoreFault("full", { address });
  if (writing && [403, 405].includes(status)) {
    return /SignatureDoesNotMatch|InvalidAccessKeyId/.test(said)
      ? new StoreFault("refused", { address })
      : new StoreFault("read-only", { address });
  }
  if (status === 404 || status === 410) return new StoreFault("not-there", { address });
  if (status === 408 || status === 423 || status === 425 || status === 429 || status >= 500) {
    return new StoreFault("busy", { address, status }, true);
  }
  return new StoreFault("no-store", { address, status });
}

export const timeOf = (header: string | null): number | null => {
  const time = header === null ? Number.NaN : Date.parse(header);
  return Number.isFinite(time) ? time : null;
};

/** Length that a HEAD answer states; null where it states none. */
export const lengthOf = (answer: Answer): number | null => {
  const stated = answer.header("Content-Length");
  return stated !== null && /^\d+$/.test(stated) ? Number(stated) : null;
};
