/** Marks: what the grower did at the tray, and what follows for weights, reservoir and stage. */
import type { MarkNote, Params, Result } from '../../shared/link/methods';
import {
  type AtMark,
  type DryTaken,
  judgeDry,
  judgeSoaked,
  type NotTaken,
  seenAtMarkG,
} from '../control/mark-weights';
import { Refusal, refuse } from '../link/refusal';
import { inflowAlarm } from '../tick/inflow-alarm';
import { reportedStage } from '../tick/staging';
import type { Ticker } from '../tick/ticker';
import { orNull } from './numbers';

/**
 * Takes a mark: what it says of weights and reservoir, then of the stage, and that hands were at the
 * tray. Refuses `no-profile`, `not-sown`, and a weight that cannot be (`control/mark-weights.ts`).
 */
export function markSet(
  ticker: Ticker,
  { mark, trayG, volumeMl, feedEc, pieces }: Params<'mark.set'>,
): Result<'mark.set'> {
  const { tray, senses, weights, watering, staging, guard } = ticker;
  const stateless = mark === 'dry' || mark === 'soaked' || mark === 'refilled';
  if (!stateless && tray.profile === null) refuse('no-profile');
  if (mark !== 'sown' && !stateless && !tray.sown) refuse('not-sown');
  let note: MarkNote | null = null;
  if (mark === 'dry') {
    // Before sowing another tray may stand there.
    const before = tray.sown ? weights.known : null;
    weights.dryWeighed(takenOrRefuse(judgeDry(atMark(ticker, trayG), before)).dryG);
    note = 'dry-taken';
  }
  if (mark === 'soaked') note = markSoaked(ticker, trayG);
  if (mark === 'refilled') {
    watering.refilled(volumeMl ?? tray.profile?.reservoirMl ?? Number.NaN, feedEc ?? Number.NaN);
  }
  const seenG = seenAtMarkG({ givenG: trayG, scale: senses.scale });
  tray.write({
    kind: 'mark',
    mark,
    stage: tray.run.progress.stage,
    trayG: seenG,
    rootZoneC: senses.rootZone.celsius,
    pieces: pieces ?? 0,
  });
  staging.mark(mark);
  if (mark === 'moved' && pieces !== undefined) staging.moved(pieces);
  if (mark === 'transplanted' || mark === 'moved') {
    weights.forget();
    note = 'weights-forgotten';
  }
  guard.handsWereHere();
  tray.touch();
  return {
    trayG: orNull(seenG),
    dryG: orNull(weights.known.dryG),
    stage: reportedStage(tray.run.progress.stage),
    note,
  };
}

/** What is known of the tray now. */
function atMark({ tray, senses, weights }: Ticker, givenG: number | undefined): AtMark {
  return {
    givenG,
    scale: senses.scale,
    // Before sowing hands come and go.
    handled: tray.sown && weights.handled,
    gainedLatelyG: weights.gainedLatelyG,
    lostMostLatelyG: weights.lostMostLatelyG,
    inflowAlarm: inflowAlarm(tray.alarms),
    profile: tray.profile,
    medium: tray.medium,
  };
}

/** What a judgement has taken; refuses what it has not. */
function takenOrRefuse<Taken extends DryTaken>(judged: Taken | NotTaken): Taken {
  if (!judged.ok) throw new Refusal(judged.reason, judged.facts);
  return judged;
}

function markSoaked(ticker: Ticker, trayG: number | undefined): MarkNote | null {
  const { tray, weights } = ticker;
  const { known } = weights;
  const { dryWeighed } = known;
  const { capacityG, dryG } = takenOrRefuse(judgeSoaked(atMark(ticker, trayG), known));
  weights.soaked(capacityG, dryG);
  tray.write({ kind: 'capacity', capacityG, dryG, dryWeighed });
  return dryWeighed ? null : 'dry-reckoned';
}
