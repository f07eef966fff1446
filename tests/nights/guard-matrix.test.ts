/** Each fault of the bench on a calm tray: `firmware/guard/README.md` tells what the guard says of it. `-u` writes it anew. */
import { beforeAll, describe, expect, it } from 'vitest';
import { FAULT_NAMES } from '../../firmware/bench/faults';
import { bundled } from '../bundle';
import { guardDocument } from './guard-document';
import type { GuardRow } from './guard-run';

const { runFault, scenesOf } = await bundled<typeof import('./guard-entry')>(
  'tests/nights/guard-entry.ts',
);

/** A hundred tray-days, on whatever machine, and with whatever else runs there. */
const SLOW_MACHINE_MS = 1_800_000;

describe('a fault on a calm tray', () => {
  let rows: readonly GuardRow[] = [];
  beforeAll(() => {
    rows = [null, ...FAULT_NAMES].flatMap((fault) =>
      scenesOf(fault).map((scene) => runFault(fault, scene)),
    );
  }, SLOW_MACHINE_MS);

  it("is told as the guard's document says", async () => {
    await expect(guardDocument(rows)).toMatchFileSnapshot('../../firmware/guard/README.md');
  });

  it('is the only thing that raises an alarm: where nothing is wrong nothing is said', () => {
    const calm = rows.filter(({ fault }) => fault === null);
    expect(calm.map(({ told, afterwards }) => [told, afterwards])).toEqual(
      calm.map(() => [[], []]),
    );
  });

  it('once mended is over: heat and water are back within the day', () => {
    const late = rows.filter(({ warmBackMs, waterBackMs }) =>
      [warmBackMs, waterBackMs].includes('late'),
    );
    expect(late).toEqual([]);
  });
});
