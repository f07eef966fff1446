/** When the tray is watered next, or what that waits for. Pure. */
import type { Mark, Stage } from '../../shared/profile/profile';
import type { Forecast } from '../forecast/forecast';
import type { Place } from '../forecast/walk';
import { doseAfter } from '../forecast/watered';
import type { ExpectedDose, HeldDose, Moment, NextDose, Obstacle } from './model';

type MomentIn = (inMs: number) => Moment;

/** As if nobody came, `nowMs` after the end of the record; what holds water off until somebody does comes first. */
export function nextDoseOf(
  forecast: Forecast,
  obstacles: readonly Obstacle[],
  nowMs: number,
  momentIn: MomentIn,
): NextDose {
  const held = heldDose(obstacles);
  if (held !== null) return held;
  const expected = expectedDose(forecast, nowMs, momentIn);
  const waits = waitingDose(forecast);
  if (waits !== null) return { ...waits, rescue: expected?.need === 'rescue' ? expected : null };
  return expected ?? { kind: 'none' };
}

/** What is wrong already, and has the water held off. */
export function heldDose(obstacles: readonly Obstacle[]): HeldDose | null {
  const water = obstacles.find((one) => one.water !== null)?.water ?? null;
  return water === null ? null : { kind: 'held', ...water, rescue: null };
}

function expectedDose(
  { place, likely, watered }: Forecast,
  nowMs: number,
  momentIn: MomentIn,
): ExpectedDose | null {
  const dose = likely.doses.length === 0 ? null : doseAfter(watered, nowMs);
  if (dose === null) return null;
  const { ml, need, inMs, soonestMs, latestMs } = dose;
  return {
    ...{ kind: 'expected', ml, need, ...momentIn(inMs) },
    soonest: momentIn(soonestMs),
    latest: latestMs === null ? null : momentIn(latestMs),
    soonerBy: stageWithoutWater(place)?.end.mark ?? null,
  };
}

/** A stage without water that time does not end, or an empty reservoir: both wait for somebody. */
function waitingDose({ place, likely }: Forecast): HeldDose | null {
  const isEmpty = likely.doses.length === 0 && likely.ends.some(({ kind }) => kind === 'reservoir');
  if (isEmpty) return waiting('the reservoir is filled', 'trayward mark refilled');
  const stage = stageWithoutWater(place);
  if (stage === null) return null;
  if (place.stage.staying) return waiting('the next stage', 'trayward stage next');
  const { afterS, mark } = stage.end;
  return afterS > 0 || mark === null ? null : waiting(DONE[mark], `trayward mark ${mark}`);
}

/** What is marked then. */
const DONE: Readonly<Record<Mark, string>> = {
  dry: 'the tray is weighed dry',
  soaked: 'the tray is soaked and has drained',
  sown: 'the tray is sown',
  emerged: 'seed is up',
  vented: 'the lid is opened a little',
  transplanted: 'the plants are moved on',
  refilled: 'the reservoir is filled',
  moved: 'the tray is moved',
};

const waiting = (until: string, command: string): HeldDose => ({
  ...{ kind: 'held', until, command, rescue: null },
});

function stageWithoutWater({ profile, stage }: Place): Stage | null {
  const now = profile.stages[stage.index];
  return now === undefined || now.watering !== null ? null : now;
}
