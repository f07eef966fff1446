/** Steps of `board check` that switch nothing: the controller itself, its flash, the probes, the scale. */

import { PROBE_NAMES, PROBES, type ProbeName } from '../../shared/board/probes';
import { encodeUtf8, fromBase64, toBase64 } from '../../shared/bytes';
import { ENTRY_BYTES, unpackEntry } from '../../shared/journal/codec';
import { LINK_LIMITS } from '../../shared/link/methods';
import { MINUTE_MS } from '../../shared/units/time';
import { measureScale } from '../calibration/measure';
import { assumedCountsPerG } from '../calibration/scale';
import { weightText } from '../calibration/words';
import { PROBE_WORDS } from '../words/probe';
import { awaited, cleared, HANDS_MS, seenWithin, settle, type Trial, UNSEEN, WAITS } from './bench';
import { type Finding, good, untried, wrong } from './finding';
import {
  judgeIce,
  judgeProbes,
  judgeWarmed,
  needs,
  neverWarmed,
  type Warmed,
  warmedProbe,
} from './judge';
import { judgeEmpty, judgeLoaded } from './judge-scale';

const IN_ICE_LEAST_MS = MINUTE_MS;
const IN_ICE_MS = 300_000;
/** A probe has come to rest that moves by less than this in so long. */
const STILL_K = 0.05;
const STILL_MS = 20_000;
/** A probe that was let go of has cooled by so much, K; in still air that takes up to a minute. */
const COOLS_K = 0.3;
/** One that is to be felt again has come back so near to where it was, K; that takes minutes. */
const AS_BEFORE_K = 1;
const COOLS_MS = 300_000;
const SAMPLES = 30;
/** Share of the known weight that counts as put on, and below which it is off again. */
const ON_SHARE = 0.2;
const OFF_SHARE = 0.1;
const NOTE = 'board check';

export async function tryController({ client }: Trial): Promise<Finding[]> {
  const { product, firmware, boardId, boot, uptimeMs } = client.hello;
  const minutes = Math.floor(uptimeMs / MINUTE_MS);
  const ago = minutes === 0 ? 'just now' : `${minutes} min ago`;
  return [
    good(
      'controller',
      `${product} ${firmware}, board ${boardId}, answers. It has started ${boot === 1 ? 'once' : `${boot} times, the last time`}, ${ago}.`,
    ),
  ];
}

/** What is written into the journal is read back. */
export async function tryFlash({ client }: Trial): Promise<Finding[]> {
  const { next: from } = await client.call('journal.info', {});
  await client.call('note.write', { data: toBase64(encodeUtf8(NOTE)) });
  const { next } = await client.call('journal.info', {});
  const count = Math.min(next - from, LINK_LIMITS.pageEntries);
  const page = await client.call('journal.page', { from, count });
  const bytes = fromBase64(page.data) ?? new Uint8Array();
  const entries = Array.from({ length: page.count }, (_, i) => unpackEntry(bytes, i * ENTRY_BYTES));
  if (entries.some((entry) => entry?.kind === 'note' && entry.text === NOTE))
    return [good('flash', 'The journal takes a note and gives it back.')];
  return [
    wrong(
      'flash',
      'The journal does not give back what is written into it.',
      'Switch the supply off and on, and check again. If it stays so, the flash chip is another one than the purchase list asks for, or broken: take another controller board.',
    ),
  ];
}

export async function tryProbes({ client, units }: Trial): Promise<Finding[]> {
  return [judgeProbes(await client.call('probe.read', {}), units)];
}

/** Each probe in a warm hand: it moves, and no other. */
export async function tryHand(trial: Trial): Promise<Finding[]> {
  const found: Finding[] = [];
  for (const name of PROBE_NAMES) found.push(await warmed(trial, name));
  return found;
}

/** Asks twice where another one grows warm: a wrong bead is in the hand more often than plugs are swapped. */
async function warmed(trial: Trial, name: ProbeName): Promise<Finding> {
  const { units } = trial;
  const hold = `the bead of the ${PROBE_WORDS[name].probe} in your closed hand, and let the other one lie. ${WAITS}`;
  const first = await inHand(trial, name, `Hold ${hold}`);
  if (first === null) return neverWarmed(name, units);
  if (first.risen === name) {
    await letGo(trial, name, 'Seen.', isCooling);
    return judgeWarmed(name, first, units);
  }
  const other = PROBE_WORDS[first.risen].probe;
  const isAsBefore: Cooled = (celsius) => celsius < first.fromC + AS_BEFORE_K;
  await letGo(trial, first.risen, `It is the ${other} that grows warm.`, isAsBefore);
  const again = await inHand(trial, name, `Once more: hold ${hold}`);
  if (again !== null) await letGo(trial, again.risen, 'Seen.', isCooling);
  return again === null ? neverWarmed(name, units) : judgeWarmed(name, again, units);
}

/** Waits for a probe to grow warm while `name` is held; null where none did. */
async function inHand(trial: Trial, name: ProbeName, ask: string): Promise<Warmed | null> {
  const { context, client } = trial;
  const before = await client.call('probe.read', {});
  context.instruct(ask);
  const seen = await seenWithin(trial, HANDS_MS, async () =>
    warmedProbe(name, before, await client.call('probe.read', {})),
  );
  if (seen === null) context.say(UNSEEN);
  return seen;
}

const celsiusOf = async ({ client }: Trial, name: ProbeName): Promise<number> =>
  (await client.call('probe.read', {}))[PROBES[name].celsius] ?? Number.NaN;

/** Whether a probe that was let go of has cooled enough, at `celsius` after `warmestC`. */
type Cooled = (celsius: number, warmestC: number) => boolean;

/** As long as it is held it rises on, and would be taken for the next one. */
const isCooling: Cooled = (celsius, warmestC) => celsius < warmestC - COOLS_K;

/** Has somebody let go of a probe, and waits until it `hasCooled`. */
async function letGo(
  trial: Trial,
  name: ProbeName,
  said: string,
  hasCooled: Cooled,
): Promise<void> {
  trial.context.instruct(`${said} Let go of it, and lay it down.`);
  let warmestC = Number.NEGATIVE_INFINITY;
  const label = `Until it cools, ${COOLS_MS / 1000} s at the most`;
  const cool = await awaited(trial, label, COOLS_MS, async () => {
    const celsius = await celsiusOf(trial, name);
    warmestC = Math.max(warmestC, celsius);
    return hasCooled(celsius, warmestC) ? true : null;
  });
  if (cool === null) trial.context.say('It has not cooled. Going on.');
}

export async function tryIce(trial: Trial): Promise<Finding[]> {
  const { context, client, setup, units } = trial;
  if (!setup.ice)
    return [
      untried(
        'ice',
        'No ice was named.',
        'With crushed ice and water at hand: trayward board check --only ice --ice',
      ),
    ];
  context.instruct(
    `Put the bead of the ${PROBE_WORDS.rootZone.probe} into stirred, crushed ice and water. It takes one to five minutes, and notices by itself.`,
  );
  const before = await client.call('probe.read', {});
  let lastC = Number.POSITIVE_INFINITY;
  await seenWithin(trial, IN_ICE_MS, async (waitedMs) => {
    if (waitedMs % STILL_MS > 0) return null;
    const celsius = await celsiusOf(trial, 'rootZone');
    const isStill = Math.abs(celsius - lastC) < STILL_K;
    lastC = celsius;
    return waitedMs >= IN_ICE_LEAST_MS && isStill ? true : null;
  });
  return [judgeIce(before, await client.call('probe.read', {}), units)];
}

export async function tryScale(trial: Trial): Promise<Finding[]> {
  const { context, client, setup, units } = trial;
  const { cellG, weightG } = setup;
  await cleared(trial);
  await settle(trial);
  const empty = await measureScale(context, client, SAMPLES, 'Empty');
  const unfit = judgeEmpty(empty, cellG, units);
  if (unfit !== null) return [unfit];
  if (weightG === null) return [needs.weight()];
  const awaited = Math.abs(weightG * assumedCountsPerG(cellG));
  const isFrom = (share: number) => async () => {
    const { code } = await client.call('scale.read', {});
    return code !== null && Math.abs(code - empty.meanCode) > share * awaited ? true : null;
  };
  context.instruct(
    `Put the known weight (${weightText(weightG, units)}) on the middle of the scale. ${WAITS}`,
  );
  const isOn = await seenWithin(trial, HANDS_MS, isFrom(ON_SHARE));
  if (isOn === null) context.say(UNSEEN);
  if (isOn === null) return [needs.weightOn(weightText(weightG, units))];
  await settle(trial);
  const loaded = await measureScale(context, client, SAMPLES, 'Under the weight');
  const judged = judgeLoaded(empty.meanCode, loaded.meanCode, { weightG, cellG }, units);
  context.instruct(`Take the weight off again. ${WAITS}`);
  const isOff = await seenWithin(trial, HANDS_MS, async () =>
    (await isFrom(OFF_SHARE)()) === null ? true : null,
  );
  return isOff === null ? [judged, needs.weightOff()] : [judged];
}
