/** What `status.read` tells, and the greeting. */
import { PRODUCT_NAME } from '../../shared/board/map';
import { type AlarmReport, type Hello, LINK_VERSION, type Status } from '../../shared/link/methods';
import { leftMs } from '../control/stages';
import type { AlarmRecord } from '../guard/alarm-bank';
import type { Recorder } from '../tick/recorder';
import { stageState } from '../tick/staging';
import type { Tray } from '../tray/tray';
import { FIRMWARE_VERSION } from '../version';

/** NaN, which JSON has not, as null. */
export function orNull(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

const seconds = (ms: number) => Math.max(0, Math.round(ms / 1000));
const tenths = (value: number) => Math.round(value * 10) / 10;
const hundredths = (value: number) => Math.round(value * 100) / 100;

/** Who the board is, and what time it has. */
export function hello(tray: Tray): Hello {
  return {
    product: PRODUCT_NAME,
    link: LINK_VERSION,
    firmware: FIRMWARE_VERSION,
    boardId: tray.board.boardId(),
    boot: tray.boot,
    uptimeMs: tray.board.clockMs(),
    unixMs: orNull(tray.unixMs(tray.board.clockMs())),
  };
}

/** One alarm as the link tells it; its value and limit to two decimals, null when it has none. */
export function alarmReport(tray: Tray, record: AlarmRecord): AlarmReport {
  const { uptimeMs } = tray;
  return {
    alarm: record.name,
    state: record.state,
    shelvedS: record.shelvedUntilMs === 0 ? 0 : seconds(record.shelvedUntilMs - uptimeMs),
    ageS: seconds(uptimeMs - record.raisedMs),
    value: orNull(hundredths(record.value)),
    limit: orNull(hundredths(record.limit)),
  };
}

/** Every alarm that is not normal, or is shelved. */
export function alarmReports(tray: Tray): readonly AlarmReport[] {
  return tray.alarms.records
    .filter((record) => record.state !== 'normal' || record.shelvedUntilMs !== 0)
    .map((record) => alarmReport(tray, record));
}

/** The whole state of the tray at the last tick. Weights to 0.1 g, temperatures to 0.01 K. */
export function status(tray: Tray, recorder: Recorder): Status {
  const { run, profile, uptimeMs, journal, settings } = tray;
  return {
    uptimeMs: uptimeMs,
    unixMs: orNull(tray.unixMs(uptimeMs)),
    profile: profile && {
      id: run.profileId,
      crop: profile.crop,
      title: profile.title,
      stages: profile.stages.length,
    },
    stage: stageStatus(tray),
    heat: heatStatus(tray, recorder),
    water: waterStatus(tray),
    alarms: alarmReports(tray),
    outputs: tray.outputs,
    journal: { first: journal.first(), next: journal.next() },
    wear: { settings: settings.eraseCountMax(), journal: journal.eraseCountMax() },
  };
}

function stageStatus(tray: Tray): Status['stage'] {
  const { stage, run } = tray;
  if (stage === null) return null;
  const left = leftMs(stageState(tray), stage);
  return {
    index: run.stage,
    name: stage.name,
    kind: stage.kind,
    runS: seconds(run.stageRunMs),
    leftS: left === null ? null : seconds(left),
    endsByMark: stage.end.mark,
    lid: stage.lid,
    feedEc: stage.feedEc,
    staying: run.staying,
  };
}

function heatStatus(tray: Tray, recorder: Recorder): Status['heat'] {
  const { rootZone, mat, band, heat } = tray;
  return {
    rootZoneC: orNull(hundredths(rootZone.celsius)),
    matC: orNull(hundredths(mat.celsius)),
    probe: rootZone.state,
    matProbe: mat.state,
    lowC: band?.lowC ?? null,
    highC: band?.highC ?? null,
    on: heat.on,
    heldBy: tray.heatHeldBy,
    dutyShare: hundredths(recorder.dutyShare),
  };
}

function waterStatus(tray: Tray): Status['water'] {
  const { scale, run, stage, profile } = tray;
  const watering = stage?.watering ?? null;
  return {
    trayG: orNull(tenths(scale.grams)),
    scale: scale.state,
    stable: scale.stable,
    spreadG: orNull(hundredths(scale.spreadG)),
    capacityG: orNull(tenths(run.capacityG)),
    dryG: orNull(tenths(run.dryG)),
    dryBackShare: orNull(Math.round(tray.dryBackShare * 1000) / 1000),
    startShare: watering?.startShare ?? null,
    stopShare: watering?.stopShare ?? null,
    phase: tray.water.phase,
    heldBy: tray.waterHeldBy ?? (stage?.kind === 'hold' ? 'hold' : null),
    dayMl: tenths(run.dayMl),
    dayCapMl: watering?.maxDayMl ?? null,
    stageMl: tenths(run.stageMl),
    stageCapMl: watering?.maxStageMl ?? null,
    reservoirLeftMl: profile && Math.max(0, tenths(profile.reservoirMl - run.usedMl)),
  };
}
