/** Nonsense typed into any option of any planning command: told what it is, within what, why, and what to do; nothing is kept. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { KEEPING, NOW_MS, PLANNING, type Takes, TOLD, wordsOf } from './planning-commands';
import { helpOf, runIn, worldOf } from './worlds';

let store = '';
beforeAll(async () => {
  store = mkdtempSync(join(tmpdir(), 'trayward-nonsense-'));
  for (const line of KEEPING) expect((await run(wordsOf(line))).code).toBe(0);
});
afterAll(() => rmSync(store, { recursive: true }));

const run = (words: readonly string[]) =>
  runIn(worldOf({ now: () => NOW_MS, env: { TRAYWARD_STORE: store } }), words);

/** Every file that is kept, and what is in it. */
const kept = (): readonly string[] =>
  readdirSync(store, { recursive: true, encoding: 'utf8' })
    .map((name) => join(store, name))
    .filter((file) => statSync(file).isFile())
    .map((file) => `${file}\n${readFileSync(file, 'utf8')}`)
    .sort();

it('knows every planning command, and every option of each', async () => {
  expect(Object.keys(TOLD).sort()).toEqual([...PLANNING].sort());
  for (const [command, { options }] of Object.entries(TOLD)) {
    const help = await helpOf(...command.split(' '));
    const own = help.slice(0, help.indexOf('Global Options:'));
    const declared = [...own.matchAll(/^ {2}(?:-\w, )?(--[a-z-]+)/gm)].map(([, flag = '']) => flag);
    expect(Object.keys(options).sort(), command).toEqual(
      declared.filter((flag) => flag !== '--help').sort(),
    );
  }
});

/** What is wrong for an option. */
function nonsense(takes: Takes): readonly string[] {
  if (takes === 'free') return [];
  if (takes === 'word') return ['?!'];
  if (takes === 'date') return ['', 'NaN', '2027-02-31', '5kg', '-1'];
  if ('number' in takes) {
    return ['', 'NaN', '-1', '1e3', '99999999', '5kg', ...('zero' in takes ? [] : ['0'])];
  }
  const unit = takes.quantity.replace(/^[-\d.]+/, '');
  return [
    ...['', 'NaN', `99999999${unit}`, `-999${unit}`, takes.quantity.replace(unit, ''), takes.other],
    ...('zero' in takes ? [] : [`0${unit}`]),
    ...('below' in takes ? [] : [`-1${unit}`]),
  ];
}

const CASES = Object.entries(TOLD).flatMap(([command, { lines, options }]) =>
  Object.entries(options).flatMap(([flag, takes]) =>
    nonsense(takes).map((value) => ({ command, line: lines[0] ?? '', flag, takes, value })),
  ),
);

/** From one value to another, unit and all. */
const RANGE = /-?[\d.:]+ ?[^\s.]*(?: CaCO3)? to -?[\d.:]+/;

it.each(CASES)(
  '$command $flag "$value" is refused in full',
  async ({ line, flag, takes, value }) => {
    const before = kept();
    // The last one of an option counts.
    const words = [...wordsOf(line), `${flag}=${value}`, '--json'];
    const { code, stdout } = await run(words);
    const { error } = JSON.parse(stdout);
    expect(code, error?.message).toBe(2);
    // What was typed, and where.
    expect(error.message).toContain(flag);
    // What to do.
    expect(error.next.length).toBeGreaterThan(10);
    expect(error.next).not.toMatch(/Nothing was worked out|Give such a number/);
    if (typeof takes !== 'string') {
      // Within what, and then why.
      expect(error.message).toMatch(RANGE);
      expect(error.message.slice(error.message.search(RANGE))).toMatch(/\. [A-Z].*[.:]/s);
    }
    expect(kept()).toEqual(before);
  },
);

it.each(CASES.filter(({ takes }) => typeof takes !== 'string' && 'quantity' in takes))(
  '$command $flag "$value" is told in US units where they are in use',
  async (one) => {
    const words = [...wordsOf(one.line), `${one.flag}=${one.value}`, '--json', '--units', 'us'];
    const { error } = JSON.parse((await run(words)).stdout);
    // What units the parser knows it names whatever is in use; the range is what comes after.
    const range = error.message.slice(error.message.search(RANGE));
    expect(range).not.toMatch(/\d (°C|ml|l|cm|m|mm|lux|mg\/l) to /);
  },
);
