/** `board check` at a bench: what it asks of a grower, and each fault by its name. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Client, LinkError } from '../../cli/link/client';
import { main } from '../../cli/main';
import { FAULT_NAMES, type FaultName } from '../../firmware/bench/faults';
import { refusalSentence } from '../../shared/link/host/refusals';
import { EVERY_TICK, Grower, TEST_PROFILE } from '../simulation/grower';
import { doing, json, unwrapped } from './program';
import { clientOf, runIn, type Said, worldAt } from './worlds';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-board-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** What hands do when they are asked, by a word of what is asked. */
type Hands = Readonly<Record<string, (grower: Grower) => void>>;
const HANDS: Hands = {
  'bead of the root-zone probe in your closed hand': ({ bench }) =>
    bench.hand.holdProbe('rootZone', 33, 120_000),
  'bead of the mat probe in your closed hand': ({ bench }) =>
    bench.hand.holdProbe('mat', 33, 120_000),
  'into stirred, crushed ice': ({ bench }) => bench.hand.holdProbe('rootZone', 0, 300_000),
  'Put the known weight': ({ bench }) => bench.hand.putWeight(2000),
  'Take the weight off': ({ bench }) => bench.hand.takeWeight(),
  'Put a jug on the scale': ({ bench }) => bench.hand.putJug(),
};

/** A bead in the hand for a minute. */
const held =
  (name: 'rootZone' | 'mat') =>
  ({ bench }: Grower): void =>
    bench.hand.holdProbe(name, 33, 60_000);

const newBoard = (seed = 5): Grower => {
  const grower = new Grower({ seed, room: { meanC: 20 }, ...EVERY_TICK });
  grower.bench.run(60_000);
  return grower;
};

/** Checks the board of `grower`, whose hands do as they are asked. */
function checked(grower: Grower, words: readonly string[], hands: Hands = HANDS): Promise<Said> {
  const deeds = Object.entries(hands).map(([asked, does]) => [asked, () => does(grower)]);
  const hear = doing(Object.fromEntries(deeds));
  return runIn(worldAt(grower, {}), ['--json', 'board', 'check', ...words], hear);
}

const ALL = ['--yes', '--ice', '--weight', '2kg', '--cell', '10kg'];

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

  it('tells what nobody did from what is wrong', async () => {
    const { result } = json(await checked(newBoard(), [...ALL, '--only', 'scale,ice'], {}));
    expect(result.findings).toMatchObject([
      { step: 'scale', verdict: 'untried', says: expect.stringContaining('no weight was seen') },
      { step: 'ice', verdict: 'untried', says: expect.stringContaining('did not grow cold') },
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

  it('names probes that are swapped: asked for twice, the other one grows warm in the hand', async () => {
    const said = await checked(newBoard(), ['--only', 'hand'], {
      'Hold the bead of the root-zone probe': held('mat'),
      'Once more: hold the bead of the root-zone probe': held('mat'),
      'Hold the bead of the mat probe': held('rootZone'),
      'Once more: hold the bead of the mat probe': held('rootZone'),
    });
    const { findings } = json(said).error.details[0];
    expect(findings).toMatchObject([
      { verdict: 'wrong', says: expect.stringContaining('the two are swapped') },
      { verdict: 'wrong', says: expect.stringContaining('the two are swapped') },
    ]);
  });

  it('asks once more where the wrong bead was in the hand, and calls nothing swapped', async () => {
    const said = await checked(newBoard(), ['--only', 'hand'], {
      'Hold the bead of the root-zone probe': held('mat'),
      'Once more: hold the bead of the root-zone probe': held('rootZone'),
      'Hold the bead of the mat probe': held('mat'),
    });
    expect(json(said).result.findings).toMatchObject([{ verdict: 'good' }, { verdict: 'good' }]);
    expect(unwrapped(said.stderr)).toContain('It is the mat probe that grows warm. Let go of it');
  });

  it('says what it waits for once a bead is let go of, and for how long at the most', async () => {
    const grower = newBoard();
    const hear = doing({
      'bead of the root-zone probe': () => held('rootZone')(grower),
      'bead of the mat probe': () => held('mat')(grower),
    });
    const said = await runIn(worldAt(grower, {}), ['board', 'check', '--only', 'hand'], hear);
    expect(unwrapped(said.stderr)).toMatch(/Until it cools, 300 s at the most: \d+ of 300/);
  });

  it('names a load cell that is upside down', async () => {
    const grower = newBoard();
    const said = await checked(grower, [...ALL, '--only', 'scale'], {
      ...HANDS,
      'Put the known weight': ({ bench }) => bench.hand.putWeight(-1900),
    });
    expect(json(said).error.details[0].findings[0].says).toMatch(/falls when 2 kg are put on/);
  });

  it('has the scale cleared before the pump, and takes no jug for an empty one', async () => {
    const grower = newBoard();
    grower.bench.hand.putJug();
    grower.bench.run(60_000);
    const { result } = json(
      await checked(grower, [...ALL, '--only', 'pump'], {
        'Take everything off the scale': ({ bench }) => bench.hand.takeJug(),
        // Nobody puts a jug where one stands.
        'Put a jug on the scale': ({ bench }) => {
          if (bench.state().scale.loadG < 1) bench.hand.putJug();
        },
      }),
    );
    expect(result.findings).toMatchObject([{ step: 'pump', verdict: 'good' }]);
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

  it('says that nothing is known to be good where nothing was tried', async () => {
    const words = ['board', 'check', '--only', 'mat'];
    const { stdout } = await runIn(worldAt(newBoard(), {}), words);
    expect(unwrapped(stdout)).toContain('Nothing is known to be good. 1 not tried.');
  });

  it('runs and heats nothing without somebody’s leave, and says how that is given', async () => {
    const grower = newBoard();
    const { result } = json(await checked(grower, ['--only', 'mat,pump']));
    expect(result.good).toBe(true);
    expect(result.findings).toMatchObject([
      { step: 'pump', verdict: 'untried' },
      { step: 'mat', verdict: 'untried', next: expect.stringContaining('--yes') },
    ]);
    expect(grower.bench.state().pump.deliveredMl).toBe(0);
  });

  it('waits for the first readings of a board that has just been switched on', async () => {
    const grower = new Grower({ seed: 5, room: { meanC: 20 }, ...EVERY_TICK });
    const { result } = json(await checked(grower, ['--only', 'probes,mat', '--yes']));
    expect(result.findings).toMatchObject([{ verdict: 'good' }, { verdict: 'good' }]);
  });

  it('asks at a terminal whether the sounder sounds and the lamp blinks', async () => {
    const grower = newBoard();
    const stdin = Object.assign(new PassThrough(), { isTTY: true });
    const answers = new Map([
      ['Did the sounder sound', 'y'],
      ['Does the lamp on the controller blink', 'n'],
    ]);
    let heard = '';
    let stdout = '';
    const write = (text: string): void => {
      heard += text;
      for (const [asked, answer] of answers) {
        if (!unwrapped(heard).includes(asked)) continue;
        answers.delete(asked);
        setImmediate(() => stdin.write(`${answer}\n`));
      }
    };
    const code = await main(['board', 'check', '--only', 'signals'], {
      ...worldAt(grower, { stdin }),
      stderr: { isTTY: true, write },
      stdout: { write: (text) => (stdout += text) },
    });
    expect(code).toBe(1);
    expect(unwrapped(stdout)).toContain('good: The sounder sounds.');
    expect(unwrapped(stdout)).toContain('WRONG: The lamp does not blink');
    expect(unwrapped(heard)).toContain('as it should be: signals.');
  });

  it('is refused while a crop stands', async () => {
    const grower = newBoard();
    grower.commission(TEST_PROFILE);
    const said = await checked(grower, ALL);
    expect(json(said).error).toMatchObject({ kind: 'refused', reason: 'crop-stands' });
    expect(unwrapped(json(said).error.next)).toContain('trayward explain');
  });

  it('refuses a step that is none, and a weight that is above the cell', async () => {
    expect(json(await checked(newBoard(), ['--only', 'wifi'])).error.next).toContain('signals');
    const heavy = await checked(newBoard(), ['--weight', '20kg']);
    expect(json(heavy).error).toMatchObject({ kind: 'usage' });
  });
});
