/** WebAssembly JavaScript Interface (W3C). */
declare namespace WebAssembly {
  class Module {
    constructor(bytes: BufferSource);
    private readonly brand: never;
  }
  class Instance {
    constructor(module: Module, imports?: Record<string, Record<string, unknown>>);
    readonly exports: Record<string, unknown>;
  }
  class Memory {
    constructor(descriptor: { readonly initial: number; readonly maximum?: number });
    readonly buffer: ArrayBuffer;
    grow(pages: number): number;
  }
}
type BufferSource = ArrayBufferView<ArrayBuffer> | ArrayBuffer;
