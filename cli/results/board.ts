/** Shapes of what the controller tells, as programs get it. */
import * as z from 'zod';
import { ALARM_NAMES, ALARM_STATES } from '../../shared/alarms/catalogue';
import { probeFields } from '../../shared/board/probes';
import { HELD_REASONS } from '../../shared/link/held';
import type { Hello, Result, ScaleCalibration, ScaleReading } from '../../shared/link/methods';
import type {
  AlarmReport,
  ProbeState,
  ScaleState,
  Status,
  WaterPhase,
} from '../../shared/link/status';
import type { FeedAhead } from '../../shared/profile/first-feed';
import {
  LID_PLACES,
  MARKS,
  type Profile,
  SPREAD_WAYS,
  STAGE_KINDS,
} from '../../shared/profile/profile';
import { everyOf } from './word-lists';

const number = z.number();
const text = z.string();
const yesNo = z.boolean();
const orNull = number.nullable();

export const mark = z.enum(MARKS).meta({ id: 'Mark' });

export const alarmName = z.enum(ALARM_NAMES).meta({ id: 'AlarmName' });

export const hello = z
  .object({
    product: text,
    link: number,
    firmware: text,
    boardId: text,
    boot: number,
    uptimeMs: number,
    unixMs: orNull,
  })
  .meta({ id: 'Hello' }) satisfies z.ZodType<Hello>;

export const alarmReport = z
  .object({
    alarm: alarmName,
    state: z.enum(ALARM_STATES).meta({ id: 'AlarmState' }),
    shelvedS: number.describe('0 when not shelved'),
    ageS: number.describe('since it was raised'),
    endedS: orNull.describe('since its condition ended; null while it holds'),
    atLeast: yesNo.describe('a power cut of unknown length is not counted in the later of these'),
    value: orNull,
    limit: orNull,
  })
  .meta({ id: 'AlarmReport' }) satisfies z.ZodType<AlarmReport>;

const heldBy = z.union([alarmName, z.enum(HELD_REASONS).meta({ id: 'HeldReason' })]).nullable();
const probeState = everyOf<ProbeState>({
  ok: true,
  open: true,
  short: true,
  frozen: true,
  jumped: true,
}).meta({ id: 'ProbeState' });
const scaleState = everyOf<ScaleState>({
  ok: true,
  uncalibrated: true,
  silent: true,
  saturated: true,
  noisy: true,
}).meta({ id: 'ScaleState' });
const waterPhase = everyOf<WaterPhase>({
  idle: true,
  weighing: true,
  dosing: true,
  'soaking-in': true,
  proving: true,
  service: true,
}).meta({ id: 'WaterPhase' });

export const status = z
  .object({
    uptimeMs: number,
    unixMs: orNull,
    profile: z.object({ id: number, crop: text, title: text, stages: number }).nullable(),
    stage: z
      .object({
        index: number,
        name: text,
        kind: text,
        runS: number,
        leftS: orNull.describe('null when only a mark ends it'),
        endsByMark: mark.nullable(),
        lid: z.enum(LID_PLACES),
        feedEc: number.describe('mS/cm'),
        staying: yesNo,
      })
      .nullable()
      .describe('null until the tray is marked sown'),
    heat: z.object({
      ...probeFields('celsius', () => orNull),
      ...probeFields('state', () => probeState),
      lowC: orNull,
      highC: orNull,
      on: yesNo,
      heldBy: heldBy.describe('what holds the mat off'),
      dutyShare: number,
    }),
    water: z.object({
      trayG: orNull,
      scale: scaleState,
      stable: yesNo,
      spreadG: orNull,
      capacityG: orNull,
      dryG: orNull,
      dryBackShare: orNull.describe('without what the plants have gained'),
      readDryBackShare: orNull.describe('as the scale reads it'),
      grownG: number.describe('what the plants are thought to have gained'),
      grownOffG: number.describe('by how much that may be off'),
      dryingGPerH: orNull,
      usualDryingGPerH: orNull,
      startShare: orNull,
      stopShare: orNull,
      phase: waterPhase,
      heldBy: heldBy.describe('what holds the water off'),
      dayMl: number,
      dayCapMl: orNull,
      stageMl: number,
      stageCapMl: orNull,
      reservoirLeftMl: orNull.describe('null until a refill was marked'),
      reservoirEc: orNull,
      otherFeedWaitS: orNull.describe('how long doses wait for the right feed; null when it is'),
      feedAhead: z
        .object({ from: everyOf<FeedAhead['from']>({ now: true, emergence: true }), inS: number })
        .nullable()
        .describe('the feed a stage opens with, at the latest'),
      pumpShare: number.describe('what the pump gives, as a share of its calibration'),
      pumpScatter: number.describe('by how much a dose is usually off that, as a share'),
      plantsMl: number.describe('given since emergence'),
      plantsSaltsMg: number,
      eachMl: orNull.describe('one plant, by the pieces of each stage'),
      eachSaltsMg: orNull,
    }),
    outage: z
      .object({ forS: number, agoS: number, beforeC: orNull, afterC: orNull })
      .nullable()
      .describe('the power cut before this start'),
    alarms: z.array(alarmReport).describe('most urgent first'),
    outputs: number.describe(
      'bits: 1 mat, 2 pump; held by the limiter 4, by the mat probe 8; 16 pump hour used up; 32 behind a second switch is supply',
    ),
    journal: z.object({ first: number, next: number }),
    wear: z.object({ settings: number, journal: number }).describe('highest erase counts'),
  })
  .meta({ id: 'Status' }) satisfies z.ZodType<Status>;

export const scaleReading = z
  .object({
    state: scaleState,
    code: orNull,
    trayG: orNull,
    stable: yesNo,
    spreadG: orNull,
    uptimeMs: number,
  })
  .meta({ id: 'ScaleReading' }) satisfies z.ZodType<ScaleReading>;

export const scaleCalibration = z
  .object({
    zeroCode: number,
    countsPerG: number,
    massG: number.describe('the known weight'),
    cellG: number.describe('rating of the load cell'),
    uncertaintyG: number.describe('standard, at the working weight'),
    zeroCodePerK: number,
    atC: number,
    unixMs: number.describe('0 when the clock was unknown'),
  })
  .meta({ id: 'ScaleCalibration' }) satisfies z.ZodType<ScaleCalibration>;

const probeCalibration = z
  .object({ offsetK: number, unixMs: number })
  .meta({ id: 'ProbeCalibration' });

export const curveInForce = z
  .union([
    z.enum(['reference', 'lost']),
    z.object({ at0Ohm: number, at25Ohm: number, at50Ohm: number }),
  ])
  .meta({ id: 'CurveInForce', description: 'by which a probe is read; lost: the mat stays off' });

export const probeReading = z
  .object({
    ...probeFields('celsius', () => orNull),
    ...probeFields('code', () => orNull),
    ...probeFields('state', () => probeState),
    ...probeFields('calibration', () => probeCalibration.nullable()),
    ...probeFields('curve', () => curveInForce),
  })
  .meta({ id: 'ProbeReading' }) satisfies z.ZodType<Result<'probe.read'>>;

const band = z.object({ lowC: number, highC: number }).meta({ id: 'Band' });
const dayWindow = z
  .object({ startMin: number, endMin: number })
  .meta({ id: 'DayWindow', description: 'minutes after local midnight' });

export const profile = z
  .object({
    crop: text,
    title: text,
    rootZoneMaxC: number,
    reservoirMl: number,
    spread: z
      .object({
        by: z.enum(SPREAD_WAYS),
        areaM2: number,
        dryG: number,
        holdsMl: number,
        outlets: number.describe('0: none'),
      })
      .nullable()
      .describe('how water reaches every piece; null: not told'),
    night: dayWindow.nullable(),
    quiet: dayWindow.nullable(),
    utcOffsetMin: number,
    media: z.array(
      z.object({
        name: text,
        pieces: number,
        pieceMl: number,
        bulkDensityKgM3: number,
        capacityShare: number,
      }),
    ),
    stages: z.array(
      z.object({
        name: text,
        kind: z.enum(STAGE_KINDS),
        band,
        nightBand: band.nullable(),
        watering: z
          .object({
            startShare: number,
            stopShare: number,
            doseMl: number,
            soakInS: number,
            maxDayMl: number,
            maxStageMl: number,
          })
          .nullable(),
        opening: z
          .object({ byS: number.describe('0: at once'), stopShare: number })
          .nullable()
          .describe('null: the first watering waits for dry-back'),
        rescue: z.object({ share: number, doseMl: number.describe('0: alarm only') }),
        end: z.object({ afterS: number.describe('0: not by time'), mark: mark.nullable() }),
        lid: z.enum(LID_PLACES),
        medium: number.describe('index into media'),
        feedEc: number.describe('mS/cm'),
      }),
    ),
  })
  .meta({ id: 'Profile' }) satisfies z.ZodType<Profile>;
