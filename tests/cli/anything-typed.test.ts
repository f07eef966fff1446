/** Whatever is typed: a result, or a refusal in words; never a mistake of the program. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { RESULTS } from '../../cli/results/commands';
import { holdsAsync } from '../properties';
import { Grower } from '../simulation/grower';
import { misfitOfLine } from './shapes';
import { helpOf, runIn, worldAt, worldOf } from './worlds';

/** These write files where they are told, talk to benches of this machine, or go on until they are told to stop. */
const ELSEWHERE = /^(bench|find|profile new|page)/;
const COMMANDS = Object.keys(RESULTS).filter((name) => !ELSEWHERE.test(name));

const VALUES = [
  ...[
    '',
    '0',
    '5',
    '-1',
    '1e9',
    'NaN',
    'Infinity',
    '0x10',
    '1,5',
    '٣',
    'a lot',
    '%s',
    '../x',
    '--',
  ],
  ...['5kg', '-5 kg', '5 kgs', '1e308 kg', '200 g', '11 lb', '24.6C', '76F', '-300 C', '10s', '2h'],
  ...['99999999999999999999 d', '30 %', '2 l', 'sown', 'dry', 'soaked', 'too-dry', 'same', 'start'],
  ...['shared/crops/pepper.yaml', 'shared', 'README.md', '2026-03-01', '2026-02-31T25:00', 'csv'],
  ...['x'.repeat(5_000), '\u0000', '\ud800', 'é💧', "'; drop", '$(id)', '__proto__', 'constructor'],
];

/** Options that write where they are told are left out. */
const optionsOf = async (command: string): Promise<string[]> =>
  [...(await helpOf(...command.split(' '))).matchAll(/^ {2}(?:-\w, )?(--[a-z-]+)/gm)]
    .map(([, option = '']) => option)
    .filter(
      (option) =>
        !['--out', '--ics', '--store', '--help', '--version', '--port', '--json'].includes(option),
    );

let store = '';
/** Reports that were written there. */
let written = 0;
const options = new Map<string, string[]>();
beforeAll(async () => {
  store = mkdtempSync(join(tmpdir(), 'trayward-typed-'));
  for (const command of COMMANDS) options.set(command, await optionsOf(command));
});
afterAll(() => rmSync(store, { recursive: true }));

it('is answered, on a tray in use and on a board fresh from its box', async () => {
  const line = fc.constantFrom(...COMMANDS).chain((command) => {
    const word = fc.oneof(
      fc.constantFrom(...VALUES),
      fc.constantFrom('--yes', ...(options.get(command) ?? [])),
    );
    return fc.tuple(fc.constant(command), fc.array(word, { maxLength: 6 }));
  });
  await holdsAsync(
    fc.asyncProperty(line, fc.boolean(), async ([command, more], inUse) => {
      const grower = new Grower();
      if (inUse) grower.commission();
      const words = [
        '--json',
        ...command.split(' '),
        ...more,
        ...(command === 'watch' ? ['--times', '1'] : []),
        ...(command === 'report' ? ['--out', join(store, `${written++}.html`)] : []),
      ];
      const env = { TRAYWARD_STORE: join(store, String(inUse)) };
      const { code, stdout } = await runIn(worldAt(grower, { env }), words);
      expect([0, 1, 2, 3]).toContain(code);
      for (const said of stdout.trim().split('\n')) {
        expect(misfitOfLine(words, said)).toBe(null);
        expect(JSON.parse(said).error?.kind, said).not.toBe('internal');
      }
    }),
    { numRuns: 300 },
  );
}, 120_000);

it('is answered without a controller too', async () => {
  const line = fc.array(fc.oneof(fc.constantFrom(...VALUES), fc.constantFrom(...COMMANDS)), {
    maxLength: 4,
  });
  await holdsAsync(
    fc.asyncProperty(line, async (words) => {
      const nobody = { findControllers: async () => [] };
      const { code, stdout } = await runIn(worldOf(nobody), ['--json', ...words]);
      // Planning needs no controller: it may be done, or refused, as well.
      expect([0, 1, 2, 3]).toContain(code);
      expect(JSON.parse(stdout).error?.kind).not.toBe('internal');
    }),
  );
});
