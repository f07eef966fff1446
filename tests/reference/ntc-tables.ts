/** Published resistance tables: of the reference probe's part, and of another usual one. */
import type { TableRow } from '../../shared/physics/ntc';

/** 10 k, B25/85 3977 K: Vishay document 29049, column NTCLE100E3103. Ohm at degrees Celsius. */
export const TABLE_3977: readonly TableRow[] = [
  { tempC: -20, ohm: 96358 },
  { tempC: 0, ohm: 32554 },
  { tempC: 5, ohm: 25339 },
  { tempC: 10, ohm: 19872 },
  { tempC: 15, ohm: 15698 },
  { tempC: 20, ohm: 12488 },
  { tempC: 25, ohm: 10000 },
  { tempC: 30, ohm: 8059 },
  { tempC: 35, ohm: 6535 },
  { tempC: 40, ohm: 5330 },
  { tempC: 45, ohm: 4372 },
  { tempC: 50, ohm: 3605 },
  { tempC: 60, ohm: 2490 },
  { tempC: 85, ohm: 1070 },
];

/**
 * 10 k, B25/85 3435 K: Semitec's 103AT, in the usual column of its data sheet, four digits. Seen as three public
 * source files have it, word for word alike; not the data sheet itself.
 */
export const TABLE_103AT: readonly TableRow[] = [
  { tempC: -20, ohm: 67770 },
  { tempC: -10, ohm: 42470 },
  { tempC: 0, ohm: 27280 },
  { tempC: 10, ohm: 17960 },
  { tempC: 20, ohm: 12090 },
  { tempC: 25, ohm: 10000 },
  { tempC: 30, ohm: 8313 },
  { tempC: 40, ohm: 5827 },
  { tempC: 50, ohm: 4160 },
  { tempC: 60, ohm: 3020 },
  { tempC: 70, ohm: 2228 },
  { tempC: 85, ohm: 1451 },
];

/** The row at `tempC`; fails the test when the table has none. */
export function rowAt(tempC: number, table: readonly TableRow[] = TABLE_3977): TableRow {
  const row = table.find((one) => one.tempC === tempC);
  if (!row) throw new Error(`no row at ${tempC} C`);
  return row;
}
