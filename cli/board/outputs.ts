/** Steps of `board check` that switch something, each by a person's leave: pump, mat, sounder, lamp. */
import { BY_HAND_MAX_MS } from '../../shared/link/methods';
import type { ProbeState } from '../../shared/link/status';
import { measureScale } from '../calibration/measure';
import { PUMP_CAUTION, runPump } from '../calibration/pump-run';
import { assumedCountsPerG } from '../calibration/scale';
import { agreed, isSupplyWrong, seenWithin, type Trial } from './bench';
import { type Finding, good, untried, wrong } from './finding';
import { judgeMat, judgeMatOff, judgePump, needs, supplyLive } from './judge';

const SAMPLES = 10;
const RUN_S = 10;
const DROPS_MS = 5000;
const HANDS_MS = 180_000;
const SETTLE_MS = 20_000;
/** The lightest jug. */
const JUG_G = 30;
/** A mat that warms takes a minute or two; the supply is judged by then at the latest. */
const MAT_MS = BY_HAND_MAX_MS.mat - 60_000;
const AFTER_MS = 180_000;
/** A probe that was in a hand has jumped; the board takes a run of the mat by hand as the word for that. */
const FIT: readonly ProbeState[] = ['ok', 'jumped'];
const SOUND_MS = 3000;

const HEAT_CAUTION =
  'The mat will heat for some minutes. It lies flat under the tray, nothing covers it, and nobody leaves until it is off.';

export async function tryPump(trial: Trial): Promise<Finding[]> {
  const { context, client, setup, units } = trial;
  if (await isSupplyWrong(trial)) return [supplyLive('pump')];
  context.caution(PUMP_CAUTION);
  const empty = await measureScale(context, client, SAMPLES, 'Empty');
  if (empty.silent || empty.saturated)
    return [
      untried('pump', 'The scale cannot weigh what the pump gives.', 'Put the scale right first.'),
    ];
  context.instruct(
    'Put a jug on the scale with the end of the tube in it, and the other end into a reservoir with water.',
  );
  const perG = assumedCountsPerG(setup.cellG);
  const isThere = await seenWithin(trial, HANDS_MS, async () => {
    const { code } = await client.call('scale.read', {});
    return code !== null && Math.abs(code - empty.meanCode) > JUG_G * perG ? true : null;
  });
  if (isThere === null)
    return [
      untried(
        'pump',
        'No jug came on to the scale.',
        'trayward board check --only pump, with a jug at hand',
      ),
    ];
  const leave = await agreed(
    trial,
    'Is the end of the tube in the jug? The pump runs for ten seconds.',
  );
  if (leave !== true) return [needs.leave('pump')];
  await context.world.sleep(SETTLE_MS);
  const before = await measureScale(context, client, SAMPLES, 'Weighing');
  await runPump(context, client, RUN_S, 'prime');
  const supply = await isSupplyWrong(trial);
  await context.world.sleep(DROPS_MS);
  const after = await measureScale(context, client, SAMPLES, 'Weighing');
  const gainedG = Math.abs(after.meanCode - before.meanCode) / perG;
  return [judgePump(gainedG, supply, units)];
}

export async function tryMat(trial: Trial): Promise<Finding[]> {
  const { context, client, units } = trial;
  const matC = async (): Promise<number> =>
    (await client.call('probe.read', {})).matC ?? Number.NaN;
  const { probe, matProbe } = await client.call('probe.read', {});
  if (![probe, matProbe].every((state) => FIT.includes(state))) return [needs.probe()];
  if (await isSupplyWrong(trial)) return [supplyLive('mat')];
  context.caution(HEAT_CAUTION);
  const leave = await agreed(
    trial,
    'Is the mat flat, with its probe on it? It heats for some minutes.',
  );
  if (leave !== true) return [needs.leave('mat')];
  const beforeC = await matC();
  if (Number.isNaN(beforeC)) return [needs.probe()];
  context.atEnd(async () => {
    await client.call('mat.run', { ms: 0 });
  });
  await client.call('mat.run', { ms: BY_HAND_MAX_MS.mat });
  const progress = await context.progress('Warming the mat', MAT_MS / 1000);
  const heated = await seenWithin(trial, MAT_MS, async (waitedMs) => {
    progress.update(waitedMs / 1000);
    const roseK = (await matC()) - beforeC;
    return judgeMat(roseK, waitedMs, await isSupplyWrong(trial), waitedMs >= MAT_MS, units);
  });
  progress.stop();
  await client.call('mat.run', { ms: 0 });
  if (heated === null) throw new Error('a mat that was never judged');
  if (heated.verdict !== 'good') return [heated];
  const offC = await matC();
  context.say('The mat is off. Looking whether it stays so.');
  await context.world.sleep(AFTER_MS);
  return [judgeMatOff((await matC()) - offC, units) ?? heated];
}

/** What only eyes and ears can tell. */
export async function trySignals({ context, client }: Trial): Promise<Finding[]> {
  const { ask } = context;
  if (!ask.possible) return [needs.eyes()];
  await client.call('sounder.run', { ms: SOUND_MS });
  const sounded = await ask.confirm('Did the sounder sound for about three seconds?');
  const blinks = await ask.confirm(
    'Does the lamp on the controller blink, at least once in five seconds?',
  );
  const found = [
    sounded
      ? good('signals', 'The sounder sounds.')
      : wrong(
          'signals',
          'The sounder is silent.',
          'W16 and W17, its polarity, and Q3: step 2.4 of the build guide.',
        ),
    blinks
      ? good('signals', 'The lamp blinks.')
      : wrong(
          'signals',
          'The lamp does not blink, though the controller answers.',
          'See where it sits on your board: another kind of board has it on another pin, and then other pins may differ too.',
        ),
  ];
  return found;
}
