/**
 * The few globals beyond ECMAScript that pure code may use: standards that browsers, workers and Node
 * share and that neither read nor change anything outside. Parts as in TypeScript's own DOM library.
 */

/** Encoding Standard (WHATWG). */
declare class TextEncoder {
  encode(text?: string): Uint8Array<ArrayBuffer>;
}
declare class TextDecoder {
  constructor(label?: string, options?: { readonly fatal?: boolean; readonly ignoreBOM?: boolean });
  decode(bytes?: ArrayBufferView | ArrayBuffer): string;
}

/** HTML Standard: base64. */
declare function atob(text: string): string;
declare function btoa(bytes: string): string;

/** DOM Standard: only the question whether work is still wanted. */
interface AbortSignal {
  readonly aborted: boolean;
  throwIfAborted(): void;
}
