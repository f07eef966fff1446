/** `board check` and the person at the board: what it asks of hands and eyes, and what it does not do without their leave. */
import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { main } from '../../cli/main';
import { EVERY_TICK, Grower, TEST_PROFILE } from '../simulation/grower';
import { ALL, checked, held, newBoard } from './checked-board';
import { doing, json, unwrapped } from './program';
import { runIn, worldAt } from './worlds';

describe('board check', () => {
  it('tells what nobody did from what is wrong', async () => {
    const { result } = json(await checked(newBoard(), [...ALL, '--only', 'scale,ice'], {}));
    expect(result.findings).toMatchObject([
      { step: 'scale', verdict: 'untried', says: expect.stringContaining('no weight was seen') },
      { step: 'ice', verdict: 'untried', says: expect.stringContaining('did not grow cold') },
    ]);
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
