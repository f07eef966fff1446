/** Makes a failing plan as small as it can be and still fail: what is left is what it takes. Pure. */
import { type Plan, type PlanEvent, STOP_MIN } from './plan';

/** Runs that a shrink may take: enough for two dozen events, in a minute or two. */
export const SHRINK_RUNS_MOST = 150;
const SHORTEST_MIN = 1;
const RECOVER_LEAST_MIN = 4 * 60;
/** Nothing is put right sooner after the last event. */
const AFTER_LAST_MIN = 5;

export interface Shrunk {
  readonly plan: Plan;
  readonly runs: number;
}

/**
 * The smallest plan found that `fails`, which the one given does. Fewer events first, by halves down to single ones;
 * then a plainer tray; then shorter.
 */
export function shrink(plan: Plan, fails: (plan: Plan) => boolean): Shrunk {
  let best = plan;
  let runs = 0;
  const tryOne = (candidate: Plan): boolean => {
    if (runs >= SHRINK_RUNS_MOST || JSON.stringify(candidate) === JSON.stringify(best))
      return false;
    runs += 1;
    if (!fails(candidate)) return false;
    best = candidate;
    return true;
  };
  for (let before: Plan | null = null; before !== best && runs < SHRINK_RUNS_MOST; ) {
    before = best;
    dropEvents(() => best, tryOne);
    for (const plainer of PLAINER) tryOne({ ...best, ...plainer(best) });
    for (let i = 0; i < best.events.length; i++) shortenEvent(() => best, i, tryOne);
    for (const shorter of SHORTER) tryOne({ ...best, ...shorter(best) });
  }
  return { plan: best, runs };
}

type Try = (candidate: Plan) => boolean;

/** Leaves out stretches of events, long ones first. */
function dropEvents(best: () => Plan, tryOne: Try): void {
  for (let size = best().events.length; size >= 1; size = Math.floor(size / 2)) {
    for (let at = 0; at < best().events.length; ) {
      const { events } = best();
      const without = [...events.slice(0, at), ...events.slice(at + size)];
      if (!tryOne({ ...best(), events: without })) at += size;
    }
  }
}

/** What changes to make a plan plainer. */
type Change = (plan: Plan) => Partial<Plan>;

const PLAINER: readonly Change[] = [
  () => ({ profile: null }),
  () => ({ trayG: 180 }),
  ({ room }) => ({ room: { ...room, swingK: 0 } }),
  () => ({ room: { meanC: 20, swingK: 0 } }),
  () => ({ skipStages: 0 }),
  () => ({ stopMin: STOP_MIN }),
];

function shortenEvent(best: () => Plan, i: number, tryOne: Try): void {
  for (;;) {
    const { events } = best();
    const event = events[i];
    const shorter = event === undefined ? null : shorterThan(event);
    if (shorter === null) return;
    if (!tryOne({ ...best(), events: events.map((one, j) => (j === i ? shorter : one)) })) return;
  }
}

/** The same for half as long, or with half as much; null where there is no less. */
function shorterThan(event: PlanEvent): PlanEvent | null {
  if ('forMin' in event && event.forMin > SHORTEST_MIN) {
    return { ...event, forMin: Math.max(SHORTEST_MIN, Math.floor(event.forMin / 2)) };
  }
  if (event.kind === 'clock' && Math.abs(event.wrongByMin) > 1) {
    return { ...event, wrongByMin: Math.trunc(event.wrongByMin / 2) };
  }
  return null;
}

const SHORTER: readonly Change[] = [
  // All of it begins at once.
  ({ events, putRightMin }) => {
    const byMin = Math.max(0, (events[0]?.atMin ?? 1) - 1);
    const sooner = events.map((event) => ({ ...event, atMin: event.atMin - byMin }));
    return { events: sooner, putRightMin: putRightMin - byMin };
  },
  ({ events, putRightMin }) => {
    const lastMin = (events.at(-1)?.atMin ?? 0) + AFTER_LAST_MIN;
    return { putRightMin: Math.max(lastMin, Math.floor((lastMin + putRightMin) / 2)) };
  },
  ({ recoverMin }) => ({ recoverMin: Math.max(RECOVER_LEAST_MIN, Math.floor(recoverMin * 0.75)) }),
];
