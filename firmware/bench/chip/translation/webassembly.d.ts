/** As much of the WebAssembly JavaScript Interface (W3C) as is used here: the types of Node.js have none of it. */
declare namespace WebAssembly {
  class Memory {
    constructor(descriptor: { readonly initial: number });
    readonly buffer: ArrayBuffer;
  }
  class Table {
    constructor(descriptor: { readonly initial: number; readonly element: 'anyfunc' });
    readonly length: number;
    grow(by: number): number;
    set(index: number, run: ((...values: readonly number[]) => number) | null): void;
  }
  class Module {
    constructor(bytes: Uint8Array);
  }
  class Instance {
    constructor(
      module: Module,
      imports: Readonly<Record<string, Readonly<Record<string, unknown>>>>,
    );
    readonly exports: Readonly<Record<string, (...values: readonly number[]) => number>>;
  }
}
