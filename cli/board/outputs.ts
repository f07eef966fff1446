/** Steps of `board check` that switch something, each by a person's leave: pump, mat, sounder, lamp. */
import { BY_HAND_MAX_MS } from '../../shared/link/methods';
import type { ProbeState } from '../../shared/link/status';
import { MINUTE_MS } from '../../shared/units/time';
import { measureScale } from '../calibration/measure';
import { PUMP_CAUTION, runPump } from '../calibration/pump-run';
import { assumedCountsPerG } from '../calibration/scale';
import {
  agreed,
  cleared,
  HANDS_MS,
  matTroubleSaid,
  seenWithin,
  settle,
  supplySaid,
  type Trial,
  UNSEEN,
  WAITS,
} from './bench';
import { type Finding, good, untried, wrong } from './finding';
import { judgeMat, judgeMatOff, judgePump, needs, PUMP_RUN_S } from './judge';
import { matWelded, supplyLive } from './line-findings';

const SAMPLES = 10;
const DROPS_MS = 5000;
/** The lightest jug, as of a cell of 1 mV/V; on one of 3 it is a light one. */
const JUG_G = 30;
/** A mat that warms takes a minute or two. */
const MAT_MS = 540_000;
/** Before, the board may still tell what it saw at an earlier try. */
const SUPPLY_KNOWN_MS = 15_000;
const AFTER_MS = 180_000;
/** A probe that was in a hand has jumped; the board takes a run of the mat by hand as the word for that. */
const FIT: readonly ProbeState[] = ['ok', 'jumped'];
const SOUND_MS = 3000;

const HEAT_CAUTION = `The mat will heat for some minutes. It lies flat under the tray, nothing covers it, and nobody leaves until it is off. Should the cable be pulled, it is off within ${BY_HAND_MAX_MS.mat / 1000} seconds.`;

export async function tryPump(trial: Trial): Promise<Finding[]> {
  const { context, client, setup, units } = trial;
  if ((await supplySaid(trial)) === 'live') return [supplyLive('pump')];
  await cleared(trial);
  await settle(trial);
  const empty = await measureScale(context, client, SAMPLES, 'Empty');
  if (empty.silent || empty.saturated)
    return [
      untried('pump', 'The scale cannot weigh what the pump gives.', 'Put the scale right first.'),
    ];
  context.instruct(
    `Put a jug on the scale with the end of the tube in it, and the other end into a reservoir with water. ${WAITS}`,
  );
  const [calibration] = (await client.call('scale.history', {})).calibrations;
  const perG = Math.abs(calibration?.countsPerG ?? assumedCountsPerG(setup.cellG));
  const jug = await seenWithin(trial, HANDS_MS, async () => {
    const { code } = await client.call('scale.read', {});
    const step = code === null ? 0 : code - empty.meanCode;
    return Math.abs(step) > JUG_G * perG ? true : null;
  });
  if (jug === null) context.say(UNSEEN);
  if (jug === null)
    return [
      untried(
        'pump',
        'No jug came on to the scale.',
        'With a jug at hand: trayward board check --only pump',
      ),
    ];
  context.caution(PUMP_CAUTION);
  const leave = await agreed(
    trial,
    `Is the end of the tube in the jug? The pump runs for ${PUMP_RUN_S} seconds.`,
  );
  if (leave !== true) return [needs.leave('pump')];
  await settle(trial);
  const before = await measureScale(context, client, SAMPLES, 'Weighing');
  await runPump(context, client, PUMP_RUN_S, 'prime');
  const isDead = (await supplySaid(trial)) === 'dead';
  await context.world.sleep(DROPS_MS);
  const after = await measureScale(context, client, SAMPLES, 'Weighing');
  // The jug that stands tells which way the reading goes under a load; as it came, a hand may have pushed or lifted.
  const way = Math.sign(before.meanCode - empty.meanCode);
  const gainedG = ((after.meanCode - before.meanCode) * way) / perG;
  return [judgePump(gainedG, { isDead, isCalibrated: calibration !== undefined }, units)];
}

export async function tryMat(trial: Trial): Promise<Finding[]> {
  const { context, client } = trial;
  const { probe, matProbe, matC } = await client.call('probe.read', {});
  if (matC === null || ![probe, matProbe].every((state) => FIT.includes(state)))
    return [needs.probe()];
  if ((await supplySaid(trial)) === 'live') return [supplyLive('mat')];
  if ((await matTroubleSaid(trial)) === 'welded') return [matWelded()];
  context.caution(HEAT_CAUTION);
  const leave = await agreed(
    trial,
    'Is the mat flat, with its probe on it? It heats for some minutes.',
  );
  if (leave !== true) return [needs.leave('mat')];
  let isOn = true;
  const off = async (): Promise<void> => {
    if (!isOn) return;
    await client.call('mat.run', { ms: 0 });
    isOn = false;
    context.say('The mat is off.');
  };
  // However the command ends.
  context.atEnd(off);
  const heated = await heat(trial, matC);
  await off();
  if (heated.verdict !== 'good') return [heated];
  const offC = await matCelsius(trial);
  context.say(`Looking whether it stays so, for ${AFTER_MS / MINUTE_MS} minutes.`);
  await context.world.sleep(AFTER_MS);
  return [judgeMatOff((await matCelsius(trial)) - offC, trial.units) ?? heated];
}

const matCelsius = async ({ client }: Trial): Promise<number> =>
  (await client.call('probe.read', {})).matC ?? Number.NaN;

/** Asks for heat, again and again: the board lets go of a mat whose cable is pulled. One that is welded it holds off. */
async function askForHeat(trial: Trial): Promise<void> {
  try {
    await trial.client.call('mat.run', { ms: BY_HAND_MAX_MS.mat });
  } catch (error) {
    // It may have found that just now.
    if ((await matTroubleSaid(trial)) !== 'welded') throw error;
  }
}

/** Heats until there is something to tell, in the board's own time: the line may be slow. */
async function heat(trial: Trial, beforeC: number): Promise<Finding> {
  const { context, client, units } = trial;
  await askForHeat(trial);
  const { uptimeMs: fromMs } = await client.call('status.read', {});
  const progress = await context.progress('Warming the mat', MAT_MS / 1000);
  const heated = await seenWithin(trial, MAT_MS, async () => {
    await askForHeat(trial);
    const said = await matTroubleSaid(trial);
    const forMs = (await client.call('status.read', {})).uptimeMs - fromMs;
    progress.update(Math.min(forMs, MAT_MS) / 1000);
    const roseK = (await matCelsius(trial)) - beforeC;
    const trouble = said === 'welded' || forMs > SUPPLY_KNOWN_MS ? said : null;
    return judgeMat(roseK, { forMs, trouble, isOver: forMs >= MAT_MS }, units);
  });
  progress.stop();
  const isOver = { forMs: MAT_MS, trouble: null, isOver: true };
  return heated ?? judgeMat(0, isOver, units) ?? needs.probe();
}

/** What only eyes and ears can tell. */
export async function trySignals({ context, client }: Trial): Promise<Finding[]> {
  const { ask } = context;
  if (!ask.possible) return [needs.eyes()];
  context.instruct('Listen: the sounder sounds for three seconds.');
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
