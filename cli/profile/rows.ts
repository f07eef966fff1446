/** A profile as labelled rows, stage by stage: what `profile read` shows and `profile compare` compares. */
import type { Band, Profile, Stage } from '../../shared/profile/profile';
import { formatQuantity, type UnitSystem } from '../../shared/units';

export interface Row {
  readonly stage: string;
  readonly what: string;
  readonly value: string;
}

function stageRows(stage: Stage, profile: Profile, units: UnitSystem): Row[] {
  const show = (kind: 'temperature' | 'volume' | 'duration', value: number) =>
    formatQuantity(kind, value, units);
  const percent = (share: number) => `${Number((share * 100).toFixed(1))} %`;
  const band = ({ lowC, highC }: Band) =>
    `${show('temperature', lowC)} to ${show('temperature', highC)}`;
  const { watering, rescue, end } = stage;
  const ends = [
    ...(end.afterS > 0 ? [`after ${show('duration', end.afterS)}`] : []),
    ...(end.mark === null ? [] : [`when marked ${end.mark}`]),
  ];
  const rows: [string, string][] = [
    ['kind', stage.kind],
    ['band', band(stage.band)],
    ['night band', stage.nightBand === null ? 'as by day' : band(stage.nightBand)],
    [
      'water',
      watering === null
        ? 'none'
        : `from ${percent(watering.startShare)} to ${percent(watering.stopShare)}, ${show('volume', watering.doseMl)} a dose, at most ${show('volume', watering.maxDayMl)} a day and ${show('volume', watering.maxStageMl)} in all`,
    ],
    [
      'rescue',
      `at ${percent(rescue.share)}${rescue.doseMl > 0 ? `, one dose of ${show('volume', rescue.doseMl)}` : ', alarm only'}`,
    ],
    ['ends', ends.length === 0 ? 'never' : ends.join(' or ')],
    ['lid', stage.lid],
    ['medium', profile.media[stage.medium]?.name ?? '-'],
    ['feed', stage.feedEc > 0 ? formatQuantity('ec', stage.feedEc, units) : 'plain water'],
  ];
  return rows.map(([what, value]) => ({ stage: stage.name, what, value }));
}

/** Every row of a profile, the whole profile's own first under the stage name "-". */
export function profileRows(profile: Profile, units: UnitSystem): readonly Row[] {
  const own: [string, string][] = [
    ['crop', profile.crop],
    ['title', profile.title],
    ['alarm limit', formatQuantity('temperature', profile.rootZoneMaxC, units)],
    ['reservoir', formatQuantity('volume', profile.reservoirMl, units)],
  ];
  return [
    ...own.map(([what, value]) => ({ stage: '-', what, value })),
    ...profile.stages.flatMap((stage) => stageRows(stage, profile, units)),
  ];
}

export interface Difference {
  readonly stage: string;
  readonly what: string;
  /** Null where one side has no such stage. */
  readonly file: string | null;
  readonly board: string | null;
}

/** What differs between two profiles, in the order of the file, then what only the board has. */
export function compareProfiles(
  file: Profile,
  board: Profile,
  units: UnitSystem,
): readonly Difference[] {
  const ofFile = profileRows(file, units);
  const ofBoard = profileRows(board, units);
  const find = (rows: readonly Row[], { stage, what }: Row) =>
    rows.find((row) => row.stage === stage && row.what === what)?.value ?? null;
  const changed = ofFile
    .map((row) => ({ ...row, file: row.value, board: find(ofBoard, row) }))
    .filter((row) => row.file !== row.board)
    .map(({ stage, what, file: f, board: b }) => ({ stage, what, file: f, board: b }));
  const gone = ofBoard
    .filter((row) => find(ofFile, row) === null)
    .map(({ stage, what, value }) => ({ stage, what, file: null, board: value }));
  return [...changed, ...gone];
}
