/**
 * What can still be judged of a profile file in which the schema has found mistakes: its sound stages. So that a
 * grower hears of everything at once, not of the rest when the first is put right. Pure.
 */
import type { z } from 'zod';
import { LID_PLACES, STAGE_KINDS } from '../profile';
import { type ProfileFile, profileSchema } from './schema';

/** A file that the schema accepts, with stand-ins for what was wrong, and which of its stages are as written. */
export interface Salvage {
  readonly file: ProfileFile;
  readonly soundStages: ReadonlySet<number>;
}

type Keyed = Record<string, unknown>;
const isKeyed = (value: unknown): value is Keyed => typeof value === 'object' && value !== null;

/** Stand for a value that is wrong: so lenient that no stage breaches a rule because of them. */
const LENIENT: Readonly<Keyed> = {
  trayward: 1,
  crop: 'crop',
  title: 'title',
  root_zone_max: '99 C',
  reservoir: '999 l',
  spread: undefined,
  night: { from: '22:00', to: '06:00' },
  quiet: undefined,
};

const LENIENT_MEDIUM: Readonly<Keyed> = {
  pieces: 1,
  length: '100 mm',
  width: '100 mm',
  height: '100 mm',
  bulk_density_kg_m3: 70,
  capacity: '90 %',
};

function standInStage(medium: string): Keyed {
  return {
    name: 'stand-in',
    kind: STAGE_KINDS[0],
    band: { low: '20 C', high: '22 C' },
    rescue: { at: '50 %' },
    lid: LID_PLACES[0],
    medium,
  };
}

/** The value at a path, where it is one that has keys. */
function keyedAt(value: unknown, path: readonly PropertyKey[]): Keyed | null {
  let inner: unknown = value;
  for (const step of path) inner = isKeyed(inner) ? inner[String(step)] : undefined;
  return isKeyed(inner) ? inner : null;
}

/** What is left of a file's value when everything that `issues` names is replaced; null when that is nothing. */
export function salvage(value: unknown, issues: readonly z.core.$ZodIssue[]): Salvage | null {
  const copy: unknown = structuredClone(value);
  if (!isKeyed(copy) || !Array.isArray(copy.stages) || !Array.isArray(copy.media)) return null;
  const { stages, media }: { stages?: unknown[]; media?: unknown[] } = copy;
  const spoilt = new Set<number>();
  for (const issue of issues) {
    const [first, index] = issue.path;
    if (issue.code === 'unrecognized_keys') {
      const group = keyedAt(copy, issue.path);
      for (const key of issue.keys) delete group?.[key];
    } else if (first === 'stages' && typeof index === 'number') {
      spoilt.add(index);
    } else if (first === 'media' && typeof index === 'number') {
      const medium = media?.[index];
      const name = isKeyed(medium) && typeof medium.name === 'string' ? medium.name : `${index}`;
      media?.splice(index, 1, { ...LENIENT_MEDIUM, name });
    } else if (typeof first === 'string' && first in LENIENT) {
      copy[first] = LENIENT[first];
    } else return null;
  }
  const name = keyedAt(media, [0])?.name;
  for (const index of spoilt) stages?.splice(index, 1, standInStage(String(name)));
  const parsed = profileSchema.safeParse(copy);
  if (!parsed.success) return null;
  const sound = parsed.data.stages.map((_, i) => i).filter((i) => !spoilt.has(i));
  return sound.length === 0 ? null : { file: parsed.data, soundStages: new Set(sound) };
}
