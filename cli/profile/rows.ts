/** A profile as labelled rows, stage by stage: what `profile read` shows and `profile compare` compares. */

import type { Band, DayWindow, Medium, Profile, Stage } from '../../shared/profile/profile';
import { percentToTenths } from '../../shared/text/percent';
import { formatQuantity, type UnitSystem } from '../../shared/units';

export interface Row {
  /** Name of the stage, or `WHOLE`. */
  readonly stage: string;
  readonly what: string;
  readonly value: string;
  /** What `value` was written from: two rows are alike when this is, whatever the digits show. */
  readonly from: unknown;
}

/** Stands where a row is about the profile as a whole. */
const WHOLE = '-';

type Line = readonly [what: string, value: string, from: unknown];

const two = (count: number): string => String(count).padStart(2, '0');
const clockTime = (minutes: number): string =>
  `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;

function windowText(window: DayWindow | null): string {
  return window === null ? 'none' : `${clockTime(window.startMin)} to ${clockTime(window.endMin)}`;
}

const zoneText = (utcOffsetMin: number): string =>
  `UTC${utcOffsetMin < 0 ? '-' : '+'}${clockTime(Math.abs(utcOffsetMin))}`;

function mediumText(medium: Medium, units: UnitSystem): string {
  const { name, pieces, pieceMl, bulkDensityKgM3, capacityShare } = medium;
  return `${name}: ${pieces} of ${formatQuantity('volume', pieceMl, units)}, ${bulkDensityKgM3} kg/m3, ${percentToTenths(capacityShare)} water at capacity`;
}

/** A stage's medium: its name, with its number where two bear the same name. */
function mediumLine(media: readonly Medium[], index: number): Line {
  const name = media[index]?.name;
  // Beside no text, so that no name is taken for it.
  if (name === undefined) return ['medium', `medium ${index + 1}, which is not there`, null];
  const isAlone = media.filter((medium) => medium.name === name).length === 1;
  return isAlone
    ? ['medium', name, { name }]
    : ['medium', `${name} (medium ${index + 1})`, { name, index }];
}

function waterText({ watering }: Stage, units: UnitSystem): string {
  if (watering === null) return 'none';
  const { startShare, stopShare, doseMl, soakInS, maxDayMl, maxStageMl } = watering;
  const ml = (value: number): string => formatQuantity('volume', value, units);
  return `from ${percentToTenths(startShare)} to ${percentToTenths(stopShare)}, ${ml(doseMl)} a dose, weighed after ${formatQuantity('duration', soakInS, units)}, at most ${ml(maxDayMl)} a day and ${ml(maxStageMl)} in all`;
}

function openingText({ opening }: Stage, units: UnitSystem): string {
  if (opening === null) return 'by dry-back';
  const { byS, stopShare } = opening;
  const when = byS > 0 ? `by ${formatQuantity('duration', byS, units)}` : 'at once';
  return `${when}, down to ${percentToTenths(stopShare)}`;
}

function spreadText({ spread }: Profile, units: UnitSystem): string {
  if (spread === null) return 'not told';
  const { by, areaM2, dryG, holdsMl, outlets } = spread;
  const holes = outlets > 0 ? `, ${outlets} outlets` : '';
  return `${by} over ${Number(areaM2.toFixed(4))} m2, ${formatQuantity('mass', dryG, units)} dry, holds ${formatQuantity('volume', holdsMl, units)}${holes}`;
}

function rescueText({ rescue }: Stage, units: UnitSystem): string {
  const dose =
    rescue.doseMl > 0
      ? `one dose of ${formatQuantity('volume', rescue.doseMl, units)}`
      : 'alarm only';
  return `at ${percentToTenths(rescue.share)}, ${dose}`;
}

function endText({ end }: Stage, units: UnitSystem): string {
  const ends = [
    ...(end.afterS > 0 ? [`after ${formatQuantity('duration', end.afterS, units)}`] : []),
    ...(end.mark === null ? [] : [`when marked ${end.mark}`]),
  ];
  return ends.length === 0 ? 'never' : ends.join(' or ');
}

function stageLines(stage: Stage, { media }: Profile, units: UnitSystem): readonly Line[] {
  const { kind, band, nightBand, watering, opening, rescue, end, lid, medium, feedEc } = stage;
  const degrees = (celsius: number): string => formatQuantity('temperature', celsius, units);
  const bandText = ({ lowC, highC }: Band): string => `${degrees(lowC)} to ${degrees(highC)}`;
  return [
    ['kind', kind, kind],
    ['band', bandText(band), band],
    ['night band', nightBand === null ? 'as by day' : bandText(nightBand), nightBand],
    ['water', waterText(stage, units), watering],
    ['first watering', openingText(stage, units), opening],
    ['rescue', rescueText(stage, units), rescue],
    ['ends', endText(stage, units), end],
    ['lid', lid, lid],
    mediumLine(media, medium),
    ['feed', feedEc > 0 ? formatQuantity('ec', feedEc, units) : 'plain water', feedEc],
  ];
}

function wholeLines(profile: Profile, units: UnitSystem): readonly Line[] {
  const { crop, title, rootZoneMaxC, reservoirMl, night, quiet, utcOffsetMin } = profile;
  const names = profile.stages.map(({ name }) => name);
  return [
    ['crop', crop, crop],
    ['title', title, title],
    ['alarm limit', formatQuantity('temperature', rootZoneMaxC, units), rootZoneMaxC],
    ['reservoir', formatQuantity('volume', reservoirMl, units), reservoirMl],
    ['spread', spreadText(profile, units), profile.spread],
    ['night', windowText(night), night],
    ['quiet hours', windowText(quiet), quiet],
    ['time zone', zoneText(utcOffsetMin), utcOffsetMin],
    ...profile.media.map(
      (medium, i): Line => [`medium ${i + 1}`, mediumText(medium, units), medium],
    ),
    ['stages', names.join(', '), names],
  ];
}

/** Every row of a profile, those of the whole first. Nothing that a profile holds is left out. */
export function profileRows(profile: Profile, units: UnitSystem): readonly Row[] {
  const rowsOf = (stage: string, lines: readonly Line[]): Row[] =>
    lines.map(([what, value, from]) => ({ stage, what, value, from }));
  return [
    ...rowsOf(WHOLE, wholeLines(profile, units)),
    ...profile.stages.flatMap((stage) => rowsOf(stage.name, stageLines(stage, profile, units))),
  ];
}

export interface Difference {
  readonly stage: string;
  readonly what: string;
  /** Null where one side has no such stage. */
  readonly file: string | null;
  readonly board: string | null;
}

/** Said of a value that looks like the other one and is not. */
const BEYOND_DIGITS = '(differs in digits that are not shown)';

/** What differs between two profiles, in the order of the file, then what only the board has. */
export function compareProfiles(
  file: Profile,
  board: Profile,
  units: UnitSystem,
): readonly Difference[] {
  const ofFile = profileRows(file, units);
  const ofBoard = profileRows(board, units);
  const find = (rows: readonly Row[], { stage, what }: Row): Row | undefined =>
    rows.find((row) => row.stage === stage && row.what === what);
  const changed = ofFile.flatMap((row): Difference[] => {
    const other = find(ofBoard, row);
    if (JSON.stringify(other?.from) === JSON.stringify(row.from)) return [];
    const { stage, what, value } = row;
    const theirs = other?.value ?? null;
    return [
      { stage, what, file: value, board: theirs === value ? `${value} ${BEYOND_DIGITS}` : theirs },
    ];
  });
  const gone = ofBoard
    .filter((row) => find(ofFile, row) === undefined)
    .map(({ stage, what, value }) => ({ stage, what, file: null, board: value }));
  return [...changed, ...gone];
}
