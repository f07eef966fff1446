/**
 * What each command gives with `--json`, in one place: `RESULTS.md` is made from this, and
 * the tests hold every command to it.
 */
import * as z from 'zod';
import { FAULT_NAMES } from '../../firmware/bench/faults';
import { HAND_ACTION_NAMES } from '../../firmware/bench/hand-actions';
import { type DoorResult, stateSchema } from '../../firmware/bench/server/door';
import { PROBE_NAMES, probeFields } from '../../shared/board/probes';
import { benchSchema } from '../../shared/host/benches';
import { MARK_NOTES } from '../../shared/link/methods';
import { CROP_FILE_NAMES } from '../../shared/profile/host/crops';
import type { SourceProblem } from '../../shared/profile/host/problem';
import { STEP_NAMES } from '../board/finding';
import { NOTE_WORDS } from '../commands/mark-note';
import { awayResult, statusAhead } from './away';
import {
  alarmReport,
  curveInForce,
  hello,
  mark,
  probeReading,
  profile,
  scaleCalibration,
  scaleReading,
  status,
} from './board';
import { probeFindings, pumpFindings, scaleFindings } from './calibration';
import { airResult, dliResult, heightResult } from './climate';
import { CROP_RESULTS } from './crop';
import { explained } from './explain';
import { FLEET_RESULTS } from './fleet';
import { hardwareReport } from './hardware';
import { JOURNAL_RESULTS } from './journal';
import { KEEP_RESULTS, tested } from './keep';
import { MIXING_RESULTS } from './mixing';
import { agendaResult, checkResult, planResult } from './planning';
import { rehearsal, shortRehearsal } from './rehearse';
import { compared, reported } from './report';
import { countResult, replicatesResult, seedTestResult, sowingResult, thermalResult } from './seed';
import { trayModel } from './tray';

const number = z.number();
const text = z.string();
const orNull = number.nullable();
const crop = z.enum(CROP_FILE_NAMES).meta({ id: 'CropName' });

const sourceProblem = z
  .object({
    severity: z.enum(['error', 'warning']),
    file: text,
    line: number.describe('from 1, as is column'),
    column: number,
    path: text,
    found: text.nullable(),
    allowed: text.nullable(),
    why: text,
    source: text.nullable(),
  })
  .meta({ id: 'SourceProblem' }) satisfies z.ZodType<SourceProblem>;

const difference = z.object({
  stage: text,
  what: text,
  file: text.nullable().describe('in the units asked for; null where it lacks'),
  board: text.nullable(),
});

const benchNow = z
  .object({
    speed: number.describe('0: time stands still'),
    state: stateSchema.meta({ id: 'BenchState' }),
  })
  .meta({ id: 'BenchNow' }) satisfies z.ZodType<DoorResult>;

const started = z.object({
  event: z.literal('started'),
  ...benchSchema.shape,
  name: text.describe('what --bench calls it'),
  seed: number,
});
const stopped = z.object({ event: z.literal('stopped'), timeS: number });

const boardCheck = z
  .object({
    boardId: text,
    firmware: text,
    good: z.boolean().describe('nothing that was tried is wrong'),
    complete: z.boolean().describe('false: it was stopped before its last step'),
    findings: z.array(
      z.object({
        step: z.enum(STEP_NAMES),
        verdict: z.enum(['good', 'wrong', 'untried']),
        says: text,
        next: text.nullable().describe('what to do; null where there is nothing to do'),
      }),
    ),
    out: text.nullable(),
  })
  .meta({ id: 'BoardCheck' });
const hardwareCheck = hardwareReport.extend({ tray: text }).meta({ id: 'HardwareCheck' });

/** By command. More than one shape: it depends on the options, or there is more than one line. */
export const RESULTS: Readonly<Record<string, readonly z.ZodType[]>> = {
  find: [z.object({ controllers: z.array(z.object({ port: text, hello })) })],
  status: [status.extend(statusAhead.shape)],
  away: [awayResult],
  'tray model': [trayModel],
  watch: [z.object({ readings: number })],
  rehearse: [rehearsal],
  explain: [explained],
  report: [reported, compared],
  'profile new': [
    z.object({
      crop,
      file: text,
      schema: text.describe('path of the schema for editors, beside it'),
    }),
    z.object({ crops: z.array(crop) }).describe('without a crop'),
  ],
  'profile check': [
    z.object({
      id: text,
      bytes: number,
      warnings: z.array(sourceProblem),
      emergence: z
        .object({ days: number, normalShare: orNull, source: text })
        .nullable()
        .describe('of the seed, in the band of the first stage; null where no trial tells'),
      firstFeedS: orNull.describe('from emergence, at the latest; null where no stage waters'),
      rehearsal: shortRehearsal
        .nullable()
        .describe('null with --no-rehearsal, and where the bench cannot rehearse it'),
    }),
  ],
  'profile load': [
    z.object({ id: text, slot: number, stage: orNull.describe('index it goes on in') }),
  ],
  'profile read': [z.object({ id: text, profile })],
  'profile compare': [z.object({ same: z.boolean(), differences: z.array(difference) })],
  'profile schema': [
    z.object({ schema: z.looseObject({ $schema: text }).describe('a JSON Schema') }),
  ],
  ...CROP_RESULTS,
  'light dli': [dliResult],
  'light height': [heightResult],
  'air vpd': [airResult],
  'plan make': [planResult],
  'plan show': [planResult],
  'plan update': [planResult],
  'plan check': [checkResult],
  agenda: [agendaResult],
  'seed count': [countResult, sowingResult.describe('without a count: those kept')],
  'seed test': [seedTestResult],
  'seed replicates': [replicatesResult],
  'seed thermal': [thermalResult],
  ...MIXING_RESULTS,
  'scale zero': [z.object({ shiftG: number })],
  'scale calibrate': [scaleFindings, scaleCalibration.describe('with --restore')],
  'scale check': [
    scaleReading,
    z
      .object({ calibrations: z.array(scaleCalibration) })
      .describe('with --history; the first is in use'),
  ],
  'probe check': [probeReading],
  'probe calibrate': [probeFindings],
  'probe curve': [
    z.object({
      probe: z.enum(PROBE_NAMES),
      curve: curveInForce,
      restarts: z.boolean().describe('the controller starts again; false: it knew so already'),
    }),
    z.object(probeFields('curve', () => curveInForce)).describe('without options'),
  ],
  'pump prime': [z.object({ ranMs: number })],
  'pump calibrate': [
    pumpFindings.extend({ runs: z.array(z.object({ ranS: number, gainedG: number })) }),
  ],
  mark: [
    z.object({
      mark,
      trayG: orNull,
      dryG: orNull,
      stage: orNull,
      note: z.enum(MARK_NOTES).nullable(),
    }),
    z
      .object({ mark: z.enum(NOTE_WORDS), text, entries: number })
      .describe('what is written into the journal alone'),
  ],
  'stage next': [z.object({ stage: number.describe('index from 0') })],
  'stage stay': [z.object({ staying: z.boolean() })],
  'alarm list': [z.object({ alarms: z.array(alarmReport).describe('most urgent first') })],
  'alarm seen': [z.object({ alarms: z.array(alarmReport).describe('as they are now') })],
  'alarm mended': [alarmReport],
  'alarm shelve': [alarmReport],
  'keep check': [
    z.object({
      name: text,
      trays: number,
      doors: number,
      people: number,
      warnings: z.array(sourceProblem),
    }),
    z.object({ example: text }).describe('with --example'),
  ],
  ...KEEP_RESULTS,
  ...FLEET_RESULTS,
  ...JOURNAL_RESULTS,
  'clock set': [z.object({ unixMs: number })],
  'bench start': [started, stopped.describe('at its end')],
  'bench run': [benchNow],
  'bench speed': [benchNow],
  'bench hand': [
    benchNow,
    z
      .object({ actions: z.array(z.enum(HAND_ACTION_NAMES).meta({ id: 'HandAction' })) })
      .describe('without a name'),
  ],
  'bench fault': [
    benchNow,
    z
      .object({ faults: z.array(z.enum(FAULT_NAMES).meta({ id: 'FaultName' })) })
      .describe('without a name'),
  ],
  'bench state': [benchNow],
  'bench stop': [benchNow],
  completion: [z.object({ shell: z.enum(['bash', 'zsh', 'fish']), script: text })],
  'board image': [
    z.object({
      image: text,
      drive: text,
      bytes: number,
      boardId: text.nullable(),
      firmware: text.nullable(),
    }),
  ],
  'board update': [
    z.object({
      image: text,
      drive: text.nullable(),
      boardId: text.nullable(),
      from: text.nullable().describe('what ran; null where the board was a drive before'),
      to: text.nullable().describe('what runs'),
      updated: z.boolean().describe('false: it ran that version already'),
    }),
  ],
  'board check': [boardCheck],
  'hardware check': [hardwareCheck],
};

/** Lines of `watch` before the last, each bare. */
export const WATCH_LINES: readonly z.ZodType[] = [
  status,
  z.object({ event: z.literal('lost'), reason: text }),
  z.object({ event: z.literal('back'), restarted: z.boolean(), boot: number }),
];

/** `error.details`, by `error.reason`. */
export const DETAILS: Readonly<Record<string, z.ZodType>> = {
  'profile-invalid': sourceProblem,
  'keep-invalid': sourceProblem,
  'fleet-invalid': sourceProblem,
  'keep-test-failed': tested,
  'board-wrong': boardCheck,
  'check-stopped': boardCheck,
  'hardware-does-not-fit': hardwareCheck,
};
