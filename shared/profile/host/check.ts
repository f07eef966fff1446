/** A profile file from text to image: every problem with its place, or the profile. Pure. */
import type { z } from 'zod';
import { pieceVolumeMl } from '../../physics/dry-back';
import { didYouMean } from '../../text/nearest';
import type { Problem, ProblemReason } from '../breach';
import { toImageGrid } from '../image';
import type { Profile } from '../profile';
import { checkProfile } from '../rules';
import { judge, judgeRoom } from './judge';
import type { SourcePath, SourceProblem } from './problem';
import { type Salvage, salvage } from './salvage';
import { FILE_VERSION, type ProfileFile, profileSchema } from './schema';
import { breachContent, filePath } from './sentences';
import { readSource, type Source } from './source';
import { wordsFor } from './words';

export interface CheckedProfile {
  readonly problems: readonly SourceProblem[];
  /** Null when any of the problems is an error. */
  readonly profile: Profile | null;
}

/**
 * Checks a file's text; problems come in the order of its lines. `file` names it in messages;
 * `utcOffsetMin` is the laptop's, for night hours.
 */
export function checkProfileText(text: string, file: string, utcOffsetMin: number): CheckedProfile {
  const { problems, profile } = checkText(text, file, utcOffsetMin);
  const inOrder = [...problems].sort((a, b) => a.line - b.line || a.column - b.column);
  return { problems: inOrder, profile };
}

function checkText(text: string, file: string, utcOffsetMin: number): CheckedProfile {
  const read = readSource(text, file);
  if (!read.ok) return { problems: read.problems, profile: null };
  const { source } = read;
  const newer = newerVersion(source);
  if (newer !== null) return { problems: [newer], profile: null };
  const parsed = profileSchema.safeParse(source.value);
  if (!parsed.success) {
    const { issues } = parsed.error;
    const found = issues.flatMap((issue) => findingOf(source, issue));
    const rest = salvage(source.value, issues);
    const more = rest === null ? [] : mistakesInStages(rest, source, utcOffsetMin);
    return { problems: [...found, ...more], profile: null };
  }
  const { profile, problems: lost } = toProfile(parsed.data, source, utcOffsetMin);
  const problems = [...lost, ...told(checkProfile(profile), source)];
  const judged = [...judge(profile, source), ...judgeRoom(parsed.data, source)];
  const refused = judged.filter(({ severity }) => severity === 'error');
  // Advice is for a profile that could be loaded; what is refused is told in one go.
  if (problems.length > 0) {
    const fresh = refused.filter(({ path }) => !problems.some((one) => one.path === path));
    return { problems: [...problems, ...fresh], profile: null };
  }
  return { problems: judged, profile: refused.length > 0 ? null : toImageGrid(profile) };
}

/** Of one value the first breach is told: the others follow from it. */
function told(breaches: readonly Problem[], source: Source): SourceProblem[] {
  return breaches
    .filter(({ path }, i) => breaches.findIndex((one) => one.path === path) === i)
    .map((problem) => source.problemAt(filePath(problem.path), breachContent(problem)));
}

/** Breaches that lie between stages: a stage that cannot be read leaves them open. */
const BETWEEN_STAGES: readonly ProblemReason[] = [
  ...(['name-twice', 'transplant-hold-missing', 'transplant-hold-short'] as const),
];

/** What is wrong within the stages that can be read, of a file in which others cannot. */
function mistakesInStages(rest: Salvage, source: Source, utcOffsetMin: number): SourceProblem[] {
  const isSound = (index: unknown): boolean => rest.soundStages.has(Number(index));
  const { profile, problems: lost } = toProfile(rest.file, source, utcOffsetMin);
  const breaches = checkProfile(profile, false).filter(({ path, reason }) => {
    const [first, index] = path.split('.');
    return first === 'stages' && isSound(index) && !BETWEEN_STAGES.includes(reason);
  });
  return [
    ...lost.filter(({ path }) => isSound(/^stages\[(\d+)\]/.exec(path)?.[1])),
    ...told(breaches, source),
  ];
}

function newerVersion(source: Source): SourceProblem | null {
  const { trayward } = Object(source.value);
  if (typeof trayward !== 'number' || trayward <= FILE_VERSION) return null;
  return source.problemAt(['trayward'], {
    why: `This profile is for a newer version of the program, which reads format ${FILE_VERSION}. Update the program.`,
  });
}

/** The value at a path of the file, or undefined. */
const valueAt = (value: unknown, path: SourcePath): unknown =>
  path.reduce<unknown>((inner, step) => Object(inner)[step], value);

/** A finding of zod as problems; an unknown key gets the nearest right one suggested. */
function findingOf(source: Source, issue: z.core.$ZodIssue): SourceProblem[] {
  const path = issue.path.map((step) => (typeof step === 'number' ? step : String(step)));
  if (issue.code !== 'unrecognized_keys') {
    return [source.problemAt(path, { why: wordsFor(issue, valueAt(source.value, path)) })];
  }
  return issue.keys.map((key) => {
    const why = `There is no key "${key}" here.${whatElse(key)}`;
    return source.problemAt([...path, key], { why }, 'key');
  });
}

/** The keys of the file format by where they stand. */
const KEYS_BY_PLACE: readonly (readonly [place: string, keys: readonly string[]])[] = [
  ['at the top of the file', Object.keys(profileSchema.shape)],
  ['in an item of "media"', Object.keys(profileSchema.shape.media.element.shape)],
  ['in an item of "stages"', Object.keys(profileSchema.shape.stages.element.shape)],
  ['in "water" or "open" of a stage', ['start', 'stop', 'dose', 'soak_in', 'max_day', 'max_stage']],
  ['in "band" of a stage', ['low', 'high']],
  ['in another key', ['at', 'after', 'mark', 'from', 'to', 'by', 'dry', 'holds', 'outlets']],
];
const KEYS = KEYS_BY_PLACE.flatMap(([, keys]) => keys);

/** What to do about a key that does not belong where it stands: where it does, or which one is near. */
function whatElse(key: string): string {
  const place = KEYS_BY_PLACE.find(([, keys]) => keys.includes(key))?.[0];
  return place === undefined ? didYouMean(key, KEYS) : ` It belongs ${place}.`;
}

/** A profile, with what it refers to and does not have: the first medium stands in for one that is lost. */
interface Compiled {
  readonly profile: Profile;
  readonly problems: readonly SourceProblem[];
}

function toProfile(file: ProfileFile, source: Source, utcOffsetMin: number): Compiled {
  const names = file.media.map(({ name }) => name);
  const lost = file.stages.flatMap(({ medium }, i) =>
    names.includes(medium)
      ? []
      : [
          source.problemAt(['stages', i, 'medium'], {
            why: `There is no medium "${medium}".${didYouMean(medium, names)}`,
            allowed: names.join(', '),
          }),
        ],
  );
  const window = (given: { from: number; to: number } | undefined) =>
    given === undefined ? null : { startMin: given.from, endMin: given.to };
  return {
    problems: lost,
    profile: {
      crop: file.crop,
      title: file.title,
      rootZoneMaxC: file.root_zone_max,
      reservoirMl: file.reservoir,
      spread: toSpread(file.spread),
      night: window(file.night),
      quiet: window(file.quiet),
      utcOffsetMin,
      media: file.media.map((medium) => ({
        name: medium.name,
        pieces: medium.pieces,
        pieceMl: pieceVolumeMl(medium.length, medium.width, medium.height),
        bulkDensityKgM3: medium.bulk_density_kg_m3,
        capacityShare: medium.capacity,
      })),
      stages: file.stages.map((stage) => toStage(stage, names)),
    },
  };
}

function toSpread(given: ProfileFile['spread']): Profile['spread'] {
  if (given === undefined) return null;
  const { by, length, width, dry, holds, outlets } = given;
  const areaM2 = (length * width) / 1e6;
  return { by, areaM2, dryG: dry, holdsMl: holds, outlets: outlets ?? 0 };
}

function toStage(
  stage: ProfileFile['stages'][number],
  media: readonly string[],
): Profile['stages'][number] {
  const { water, open } = stage;
  return {
    name: stage.name,
    kind: stage.kind,
    band: { lowC: stage.band.low, highC: stage.band.high },
    nightBand:
      stage.night_band === undefined
        ? null
        : { lowC: stage.night_band.low, highC: stage.night_band.high },
    watering:
      water === undefined
        ? null
        : {
            startShare: water.start,
            stopShare: water.stop,
            doseMl: water.dose,
            soakInS: water.soak_in,
            maxDayMl: water.max_day,
            maxStageMl: water.max_stage,
          },
    opening: open === undefined ? null : { byS: open.by, stopShare: open.stop },
    rescue: { share: stage.rescue.at, doseMl: stage.rescue.dose ?? 0 },
    end: { afterS: stage.until?.after ?? 0, mark: stage.until?.mark ?? null },
    lid: stage.lid,
    medium: Math.max(0, media.indexOf(stage.medium)),
    feedEc: stage.feed ?? 0,
  };
}
