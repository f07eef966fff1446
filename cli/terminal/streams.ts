/** The terminal, or what stands in its place: what is written to, read from and asked. */

/** A stream as we use it: written to, and known to be a terminal or not. */
export interface Sink {
  readonly isTTY?: boolean;
  readonly columns?: number;
  readonly rows?: number;
  write(text: string): unknown;
}

/** Where answers come from. */
export interface Source extends NodeJS.ReadableStream {
  readonly isTTY?: boolean;
  /** Of a terminal: hands over what is typed at once, and not only when its line ends. */
  setRawMode?(isRaw: boolean): unknown;
}

/** What a question needs of the world. */
export interface Terminal {
  readonly stderr: Sink;
  readonly stdin: Source;
}

/** How far long work is. */
export interface Progress {
  /** `total` when it has turned out to be another. */
  update(value: number, total?: number): void;
  stop(): void;
}

/** Prompts. All of them refuse, with advice, when nobody is there to answer. */
export interface Ask {
  /** True when a person sits at a terminal. */
  readonly possible: boolean;
  /** Waits for Enter. */
  pause(text: string): Promise<void>;
  /** Yes or no; `flag` is the option that answers it in a script. */
  confirm(question: string, flag?: string): Promise<boolean>;
  line(question: string, flag: string): Promise<string>;
}
