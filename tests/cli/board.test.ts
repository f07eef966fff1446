/** `board check` at a bench: a sound board is good, and each fault is named. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Client, LinkError } from '../../cli/link/client';
import { FAULT_NAMES, type FaultName } from '../../firmware/bench/faults';
import { refusalSentence } from '../../shared/link/host/refusals';
import { ALL, checked, HANDS, newBoard } from './checked-board';
import { json, unwrapped } from './program';
import { clientOf, runIn, worldAt } from './worlds';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-board-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** What a check says of a fault, and at which step; one of the board itself, or of what hangs on it. */
interface Told {
  readonly step: string;
  readonly says: RegExp;
}
/** A fault of the tray and its plants, which no check of a bare board can feel, or one with which no board answers: the link's own tests. */
type Untold = 'of a tray' | 'no answer';

/** Every fault of the bench. */
const FAULTS: Readonly<Record<FaultName, Told | Untold>> = {
  'probe-open': { step: 'probes', says: /The root-zone probe is open\./ },
  'probe-short': { step: 'probes', says: /The root-zone probe is short\./ },
  'probe-stuck': { step: 'hand', says: /root-zone probe was to be held .*no probe rose/ },
  'probe-out': 'of a tray',
  'mat-probe-open': { step: 'probes', says: /The mat probe is open\./ },
  'mat-probe-stuck': { step: 'hand', says: /mat probe was to be held .*no probe rose/ },
  'mat-dead': { step: 'mat', says: /was asked for heat for .*rose by/ },
  'mat-lead-open': { step: 'mat', says: /its lead is open behind the fuse/ },
  'mat-fuse-blown': { step: 'mat', says: /its fuse is open/ },
  'mat-stuck-on': { step: 'mat', says: /though neither mat nor pump/ },
  'mat-switch-welded': { step: 'mat', says: /own switch passes/ },
  'tube-off': { step: 'pump', says: /brought no water/ },
  // Ten seconds at half the flow do not fill a tube that is still dry.
  'tube-worn': { step: 'pump', says: /brought no water/ },
  'reservoir-empty': { step: 'pump', says: /brought no water/ },
  leak: 'of a tray',
  wick: 'of a tray',
  siphon: 'of a tray',
  'pump-stuck-on': { step: 'pump', says: /though neither mat nor pump/ },
  'scale-unplugged': { step: 'scale', says: /converter of the scale says nothing/ },
  'scale-saturated': { step: 'scale', says: /at the end of its range/ },
  'scale-noisy': { step: 'scale', says: /scatter by/ },
  'lid-open': 'of a tray',
  'tray-lifted': 'of a tray',
  'mains-cut': 'no answer',
  'board-hung': 'no answer',
  'link-noise': 'no answer',
};
const TOLD = Object.fromEntries(
  Object.entries(FAULTS).filter((entry): entry is [string, Told] => typeof entry[1] === 'object'),
);
const OF_A_TRAY = FAULT_NAMES.filter((name) => FAULTS[name] === 'of a tray');
function nameOf(fault: string): FaultName {
  const name = FAULT_NAMES.find((one) => one === fault);
  if (name === undefined) throw new Error(`no fault ${fault}`);
  return name;
}

describe('board check', () => {
  it('finds a sound board good, step by step, and writes that into a file', async () => {
    const out = join(folder, 'board.txt');
    const said = await checked(newBoard(), [...ALL, '--out', out]);
    const { result } = json(said);
    expect(said.stdout).toContain('"ok":true');
    expect(said.code).toBe(0);
    expect(
      result.findings.map(({ step, verdict }: Record<string, string>) => `${step} ${verdict}`),
    ).toEqual([
      'controller good',
      'doors untried',
      'flash good',
      'probes good',
      'hand good',
      'hand good',
      'scale good',
      'pump good',
      'mat good',
      'ice good',
      'signals untried',
    ]);
    const page = readFileSync(out, 'utf8');
    expect(page).toContain('It has started once, 1 min ago.');
    expect(page).toContain('Mat: good. The mat warmed its probe by');
    expect(page).toContain('Nothing is wrong. 2 not tried.');
  });

  it('leaves pump and mat off, and the journal with a note that it was there', async () => {
    const grower = newBoard();
    await checked(grower, ALL);
    grower.bench.run(3000);
    const { outputs } = grower.bench.state();
    expect(outputs).toMatchObject({ mat: false, pump: false });
    expect(grower.journal()).toContainEqual(expect.objectContaining({ kind: 'note' }));
  });

  it.each(Object.entries(TOLD))('names %s', async (fault, { step, says }) => {
    const grower = newBoard();
    grower.bench.fault(nameOf(fault));
    grower.bench.run(30_000);
    const said = await checked(grower, [...ALL, '--only', step]);
    expect(said.code).toBe(1);
    const { error } = json(said);
    expect(error).toMatchObject({ kind: 'refused', reason: 'board-wrong' });
    expect(error.message).toBe(`The board is not as it should be: ${step}.`);
    expect(error.next).toContain(`--only ${step}`);
    const wrong = error.details[0].findings.find(
      ({ verdict }: Record<string, string>) => verdict === 'wrong',
    );
    expect(wrong.says).toMatch(says);
    expect(wrong.next).not.toBe('');
  });

  it.each(OF_A_TRAY)('finds a board good whose tray has %s', async (fault) => {
    const grower = newBoard();
    grower.bench.fault(fault);
    grower.bench.run(30_000);
    // A tray that is lifted takes the jug with it.
    const steps = fault === 'tray-lifted' ? 'probes,hand,scale,mat' : 'probes,hand,scale,pump,mat';
    const { code } = await checked(grower, [...ALL, '--only', steps]);
    expect(code).toBe(0);
  });

  it('names a supply that is missing, by pump and by mat', async () => {
    for (const step of ['mat', 'pump']) {
      const grower = newBoard();
      grower.bench.rig.wrongSupply.add('missing');
      const { error } = json(await checked(grower, [...ALL, '--only', step]));
      expect(error.details[0].findings[0].says).toContain('there is no supply');
    }
  });

  it.each([
    { output: 'pump', next: /F1 and F3, and W14, W47 and W48/, other: 'mat' },
    { output: 'mat', next: /F1, and W13, W46 and W47/, other: 'pump' },
  ] as const)(
    'names the second switch of the $output alone where it does not close, and finds the $other good',
    async ({ output, next, other }) => {
      const grower = newBoard();
      grower.bench.rig.wrongSupply.add(`second-switch-of-${output}-open`);
      const { findings } = json(await checked(grower, [...ALL, '--only', 'pump,mat'])).error
        .details[0];
      const found = new Map(findings.map((finding: { step: string }) => [finding.step, finding]));
      expect(found.get(other)).toMatchObject({ verdict: 'good' });
      expect(found.get(output)).toMatchObject({
        verdict: 'wrong',
        says: expect.stringContaining(
          `Behind the second switch of the ${output} there is no supply`,
        ),
        next: expect.stringMatching(next),
      });
    },
  );

  it('knows a supply that comes back, after a run without it', async () => {
    const grower = newBoard();
    grower.bench.rig.wrongSupply.add('missing');
    const words = [...ALL, '--only', 'pump,mat'];
    const { findings } = json(await checked(grower, words)).error.details[0];
    expect(findings.map(({ says }: { says: string }) => says)).toEqual([
      expect.stringContaining('there is no supply'),
      expect.stringContaining('there is no supply'),
    ]);
    grower.bench.hand.takeJug();
    grower.bench.rig.wrongSupply.clear();
    expect(json(await checked(grower, words)).result.findings).toMatchObject([
      { step: 'pump', verdict: 'good' },
      { step: 'mat', verdict: 'good' },
    ]);
  });

  it('shows what is wrong even where only results are wanted', async () => {
    const grower = newBoard();
    grower.bench.fault('probe-open');
    grower.bench.run(30_000);
    const words = ['--quiet', 'board', 'check', '--only', 'probes'];
    const { stdout, stderr } = await runIn(worldAt(grower, {}), words);
    expect(unwrapped(stdout)).toContain('WRONG: The root-zone probe is open.');
    expect(unwrapped(stderr)).toContain('Not done: The board is not as it should be: probes.');
    expect(unwrapped(stderr)).not.toContain('WRONG');
  });

  it('names a load cell that is upside down', async () => {
    const grower = newBoard();
    const said = await checked(grower, [...ALL, '--only', 'scale'], {
      ...HANDS,
      'Put the known weight': ({ bench }) => bench.hand.putWeight(-1900),
    });
    expect(json(said).error.details[0].findings[0].says).toMatch(/falls when 2 kg are put on/);
  });

  it('names a welded switch again as long as its alarm stands, and how that is ended', async () => {
    const grower = newBoard();
    grower.bench.fault('mat-switch-welded');
    grower.bench.run(120_000);
    for (const _ of ['found', 'found before']) {
      const said = await checked(grower, [...ALL, '--only', 'mat']);
      expect(json(said).error.reason).toBe('board-wrong');
      const [mat] = json(said).error.details[0].findings;
      expect(mat).toMatchObject({ verdict: 'wrong', says: expect.stringContaining('own switch') });
      expect(mat.next).toContain('trayward alarm mended mat-stuck-on');
    }
  });

  it('takes what the board refuses for a finding of that step, and goes on with the next', async () => {
    const grower = newBoard();
    const client = clientOf(grower);
    const HELD = refusalSentence('mat-held-by-alarm', ['root-zone-hot']);
    const refusing: Client = {
      ...client,
      call: (method, params) =>
        method === 'mat.run'
          ? Promise.reject(new LinkError('refused', HELD, 'mat-held-by-alarm'))
          : client.call(method, params),
    };
    const words = ['board', 'check', '--only', 'mat,ice', '--yes'];
    const said = await runIn(worldAt(grower, {}, refusing), words);
    expect(said.code).toBe(1);
    expect(unwrapped(said.stdout)).toContain(
      'Mat WRONG: The alarm root-zone-hot holds the mat off.',
    );
    expect(unwrapped(said.stdout)).toContain('trayward alarm mended root-zone-hot');
    expect(unwrapped(said.stdout)).toContain('1 of 2 wrong. 1 not tried.');
  });
});
