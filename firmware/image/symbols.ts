/** Addresses of the linked program's symbols, by name. */
export type Symbols = ReadonlyMap<string, number>;

/** Where this symbol is; throws when the program has none of that name. */
export function addressOf(symbols: Symbols, name: string): number {
  const address = symbols.get(name);
  if (address === undefined) throw new Error(`The program has no symbol named ${name}.`);
  return address;
}
