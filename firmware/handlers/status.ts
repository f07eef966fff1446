/** What `status.read` tells, and what the board answers to the handshake. */
import { PRODUCT_NAME } from '../../shared/board/map';
import { probeFields } from '../../shared/board/probes';
import { type Hello, LINK_VERSION } from '../../shared/link/methods';
import type { Status } from '../../shared/link/status';
import { type FeedAhead, feedAhead } from '../../shared/profile/first-feed';
import { heldNow, waterHeldNow } from '../control/interlock';
import type { Ticker } from '../tick/ticker';
import type { Tray } from '../tray/tray';
import { FIRMWARE_VERSION } from '../version';
import { alarmReports } from './alarms';
import { hundredths, orNull, seconds, tenths, thousandths } from './numbers';

/** Who the board is, and what time it has. */
export function hello(tray: Tray): Hello {
  return {
    product: PRODUCT_NAME,
    link: LINK_VERSION,
    firmware: FIRMWARE_VERSION,
    boardId: tray.board.boardId(),
    boot: tray.boot,
    uptimeMs: tray.board.clockMs(),
    unixMs: orNull(tray.clock.unixMs(tray.board.clockMs())),
  };
}

/** The whole state of the tray at the last tick. Weights to 0.1 g, temperatures to 0.01 K. */
export function status(ticker: Ticker): Status {
  const { tray, senses } = ticker;
  const { run, profile, uptimeMs, journal, settings } = tray;
  return {
    uptimeMs,
    unixMs: orNull(tray.clock.unixMs(uptimeMs)),
    profile: profile && {
      id: run.program.profileId,
      crop: profile.crop,
      title: profile.title,
      stages: profile.stages.length,
    },
    stage: stageStatus(ticker),
    heat: heatStatus(ticker),
    water: waterStatus(ticker),
    outage: outageStatus(ticker),
    alarms: alarmReports(tray),
    outputs: senses.outputs,
    journal: { first: journal.first(), next: journal.next() },
    wear: { settings: settings.eraseCountMax(), journal: journal.eraseCountMax() },
  };
}

function stageStatus({ tray, staging }: Ticker): Status['stage'] {
  const { stage } = tray;
  if (stage === null) return null;
  const { progress, leftMs } = staging;
  return {
    index: progress.stage,
    name: stage.name,
    kind: stage.kind,
    runS: seconds(progress.stageRunMs),
    leftS: leftMs === null ? null : seconds(leftMs),
    endsByMark: stage.end.mark,
    lid: stage.lid,
    feedEc: stage.feedEc,
    staying: progress.staying,
  };
}

function heatStatus({ tray, senses, heating, recorder }: Ticker): Status['heat'] {
  const { band, heat, heldBy } = heating;
  return {
    ...probeFields('celsius', (name) => orNull(hundredths(senses.probes[name].celsius))),
    ...probeFields('state', (name) => senses.probes[name].state),
    lowC: band?.lowC ?? null,
    highC: band?.highC ?? null,
    on: heat.on,
    heldBy: heldNow(heldBy, tray.stage),
    dutyShare: hundredths(recorder.dutyShare),
  };
}

function outageStatus({ tray }: Ticker): Status['outage'] {
  const { outage } = tray;
  return (
    outage && {
      forS: seconds(outage.forMs),
      agoS: seconds(tray.uptimeMs),
      beforeC: orNull(hundredths(outage.beforeC)),
      afterC: orNull(hundredths(outage.afterC)),
    }
  );
}

/** The feed ahead; roots that are left alone after a transplant get none before that is over. */
function feedAheadStatus({ tray, staging, watering }: Ticker): FeedAhead | null {
  const { progress, leftMs } = staging;
  const ahead = feedAhead(tray.profile?.stages ?? [], {
    index: progress.stage,
    ranS: seconds(progress.stageRunMs),
    leftS: leftMs === null ? null : seconds(leftMs),
    opened: watering.charges.opened,
  });
  return ahead && { ...ahead, inS: Math.max(ahead.inS, seconds(progress.transplantHoldMs)) };
}

function waterStatus(ticker: Ticker): Status['water'] {
  const { tray, senses, weights, watering, feed, guard } = ticker;
  const { stage } = tray;
  const { scale } = senses;
  const { known } = weights;
  const { charges, proofs } = watering;
  const { account } = charges;
  const { reservoir, leftMl } = feed;
  const { drying } = guard;
  const rule = stage?.watering ?? null;
  return {
    trayG: orNull(tenths(scale.grams)),
    scale: scale.state,
    stable: scale.stable,
    spreadG: orNull(hundredths(scale.spreadG)),
    capacityG: orNull(tenths(known.capacityG)),
    dryG: orNull(tenths(known.dryG)),
    dryBackShare: orNull(thousandths(weights.dryBackShare)),
    readDryBackShare: orNull(thousandths(weights.readDryBackShare)),
    grownG: tenths(weights.grown.g),
    grownOffG: tenths(weights.grown.offG),
    dryingGPerH: orNull(hundredths(drying.gPerH)),
    usualDryingGPerH: orNull(hundredths(drying.usualGPerH)),
    startShare: rule?.startShare ?? null,
    stopShare: rule?.stopShare ?? null,
    phase: watering.dose.phase,
    heldBy: waterHeldNow(watering.heldBy, stage),
    dayMl: tenths(account.dayMl),
    dayCapMl: rule?.maxDayMl ?? null,
    stageMl: tenths(account.stageMl),
    stageCapMl: rule?.maxStageMl ?? null,
    reservoirLeftMl: leftMl === null ? null : tenths(leftMl),
    reservoirEc: orNull(reservoir.feedEc),
    otherFeedWaitS: feed.waitMs === null ? null : seconds(feed.waitMs),
    feedAhead: feedAheadStatus(ticker),
    pumpShare: thousandths(proofs.pumpShare),
    pumpScatter: thousandths(proofs.pumpScatter),
    plantsMl: tenths(reservoir.plantsMl),
    plantsSaltsMg: tenths(reservoir.plantsSaltsMg),
    eachMl: orNull(tenths(reservoir.eachMl)),
    eachSaltsMg: orNull(tenths(reservoir.eachSaltsMg)),
  };
}
