/** What a spreadsheet's columns are called: a quantity in words of the trade, with its unit. Pure. */
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { PROBE_WORDS } from '../words/probe';
import { type Cell, titleOf } from './columns';

/** How a column of the journal stands in a spreadsheet. */
export interface Heading {
  readonly words: string;
  /** Behind the words, in brackets; unsaid, it is no quantity. */
  readonly unit?: string;
  /** Of its number, in that unit; unsaid, as the journal has it. */
  readonly of?: (value: number) => number;
}

/** Without the tail that a share in hundredths gets in binary. */
export const inPercent = (share: number): number => Number((100 * share).toFixed(2));
const inSeconds = (ms: number): number => ms / 1000;

/** By the title that programs know a column by: every one of the journal's has an entry. */
export const HEADINGS: Readonly<Record<string, Heading>> = {
  time: { words: 'time' },
  local_time: { words: 'time' },
  life: { words: 'journal life' },
  boot: { words: 'start' },
  sequence: { words: 'entry' },
  uptime_ms: { words: 'since the start', unit: 's', of: inSeconds },
  kind: { words: 'kind' },
  stage: { words: 'stage' },
  ...Object.fromEntries(
    PROBE_NAMES.map((name): [string, Heading] => [
      titleOf(PROBES[name].celsius),
      { words: PROBE_WORDS[name].place, unit: '°C' },
    ]),
  ),
  tray_g: { words: 'tray', unit: 'g' },
  dry_back_share: { words: 'dry-back', unit: '%', of: inPercent },
  mat_duty_share: { words: 'mat on', unit: '% of the time', of: inPercent },
  spread_g: { words: 'restlessness of the weight', unit: 'g' },
  outputs: { words: 'switched on' },
  cause: { words: 'cause of the start' },
  detail: { words: 'detail for a programmer' },
  firmware: { words: 'firmware' },
  profile_id: { words: 'profile' },
  fault_restarts: { words: 'restarts by a fault' },
  unix_ms: { words: 'clock set to' },
  outage_s: { words: 'power was off', unit: 's' },
  from: { words: 'stage that ended' },
  to: { words: 'stage that began' },
  reason: { words: 'reason' },
  ran_s: { words: 'stage had run', unit: 's' },
  water_ml: { words: 'water in the stage', unit: 'ml' },
  mark: { words: 'mark' },
  pieces: { words: 'pieces' },
  verdict: { words: 'what became of the dose' },
  planned_ml: { words: 'dose', unit: 'ml' },
  ran_ms: { words: 'pump ran', unit: 's', of: inSeconds },
  before_g: { words: 'tray before', unit: 'g' },
  gained_g: { words: 'tray gained', unit: 'g' },
  alarm: { words: 'alarm' },
  change: { words: 'change of the alarm' },
  for_s: { words: 'shelved for', unit: 's' },
  over: { words: 'tray quiet again' },
  after_g: { words: 'tray after', unit: 'g' },
  dry_weighed: { words: 'weighed dry' },
  capacity_g: { words: 'container capacity', unit: 'g' },
  dry_g: { words: 'dry tray', unit: 'g' },
  target: { words: 'calibrated' },
  restored: { words: 'older calibration taken' },
  zero_code: { words: 'scale at zero', unit: 'counts' },
  counts_per_g: { words: 'scale', unit: 'counts/g' },
  uncertainty_g: { words: 'uncertainty of the scale', unit: 'g' },
  offset_k: { words: 'offset of the probe', unit: 'K' },
  ml_per_s: { words: 'pump', unit: 'ml/s' },
  cv_percent: { words: 'scatter of the pump', unit: '%' },
  previous_ml_per_s: { words: 'pump before', unit: 'ml/s' },
  action: { words: 'what was done with the profile' },
  slot: { words: 'slot of the profile' },
  stage_before: { words: 'stage before the profile' },
  stage_after: { words: 'stage with the profile' },
  code: { words: 'fault' },
  volume_ml: { words: 'reservoir', unit: 'ml' },
  feed_ec: { words: 'feed EC', unit: 'mS/cm' },
  standing: { words: 'seedlings standing' },
  of: { words: 'of so many' },
  more: { words: 'pieces of the note missing' },
  text: { words: 'note' },
  probe: { words: 'probe of another kind' },
  at0_ohm: { words: 'its resistance at 0 °C', unit: 'Ω' },
  at25_ohm: { words: 'its resistance at 25 °C', unit: 'Ω' },
  at50_ohm: { words: 'its resistance at 50 °C', unit: 'Ω' },
};

/** `root zone (°C)`. */
export const headingText = ({ words, unit }: Heading): string =>
  unit === undefined ? words : `${words} (${unit})`;

/** A number in the unit of its heading; what is none, as it is. */
export const inUnitOf = ({ of }: Heading, cell: Cell): Cell =>
  of !== undefined && typeof cell === 'number' ? of(cell) : cell;
