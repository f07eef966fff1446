/** The crops that Trayward knows, one YAML file each in this folder. Host only. */
import files from 'trayward:crop-files';
import { accept, decline, type Verdict } from '../../physics/verdict';
import { didYouMean } from '../../text/nearest';
import type { Crop, CropSource } from './crop';
import { cropFile, sourcesFile } from './schema';

/** What all crop files may cite. */
const SOURCES_FILE = 'sources.yaml';

export interface Library {
  /** By name, in the order of the alphabet. */
  readonly crops: readonly Crop[];
  /** By the short name that stands beside numbers. */
  readonly sources: ReadonlyMap<string, CropSource>;
}

/**
 * The library of parsed files by file name. Throws with the file's name and the place in it where one is
 * not as `schema.ts` wants it, where a source is cited that nobody names, and where two crops have one
 * name: crop files come with the program, so that is a mistake of ours.
 */
export function readLibrary(parsed: Readonly<Record<string, unknown>>): Library {
  const sources = new Map<string, CropSource>();
  const cite = (cited: Readonly<Record<string, Omit<CropSource, 'name'>>>): void => {
    for (const [name, source] of Object.entries(cited)) {
      if (sources.has(name))
        throw new Error(`"${name}" is cited twice: put it in ${SOURCES_FILE}.`);
      sources.set(name, { name, ...source });
    }
  };
  const read = <T>(file: string, parse: () => T): T => {
    try {
      return parse();
    } catch (error) {
      throw new Error(`${file}: ${error instanceof Error ? error.message : error}`);
    }
  };
  cite(read(SOURCES_FILE, () => sourcesFile.parse(parsed[SOURCES_FILE])));
  const crops = Object.entries(parsed)
    .filter(([file]) => file !== SOURCES_FILE)
    .map(([file, value]) => {
      const { crop, sources: own } = read(file, () => cropFile.parse(value));
      read(file, () => cite(own));
      return crop;
    })
    .sort((a, b) => (a.name < b.name ? -1 : 1));
  for (const crop of crops) {
    const unknown = sourcesOf(crop).find((name) => !sources.has(name));
    if (unknown !== undefined) {
      throw new Error(`${crop.name} cites "${unknown}": say under "sources:" what that is.`);
    }
  }
  const names = crops.flatMap(namesOf);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) throw new Error(`Two crop files have the name "${twice}".`);
  return { crops, sources };
}

let shipped: Library | null = null;

/** Read when it is first asked for: most commands need no crop. */
function library(): Library {
  shipped ??= readLibrary(files);
  return shipped;
}

/** Short names of all that a crop's numbers cite, each once, in the order of its file. */
export function sourcesOf(crop: Crop): readonly string[] {
  const stages = crop.stages.flatMap(({ name: _, ...values }) => Object.values(values).flat());
  const cited = [
    ...crop.temperatures,
    ...crop.trials,
    ...(crop.rooting === null ? [] : Object.values(crop.rooting).flat()),
    ...stages,
    ...crop.daysToTransplant,
    ...crop.cellsPerTray,
    ...crop.inRowMm,
    ...crop.betweenRowsMm,
    ...(crop.growth === null ? [] : [crop.growth]),
  ];
  return [...new Set(cited.map(({ source }) => source))];
}

const namesOf = (crop: Crop): readonly string[] => [crop.name, ...crop.also];

/** All crops, in the order of the alphabet. */
export const crops = (): readonly Crop[] => library().crops;

/** The crop of this name, any case, hyphens as spaces, or one of its other names; null for none. */
export function cropOrNull(name: string): Crop | null {
  const wanted = name.trim().toLowerCase().replaceAll('-', ' ');
  return crops().find((crop) => namesOf(crop).includes(wanted)) ?? null;
}

/** The same; refuses an unknown name with the one that was probably meant. */
export function cropNamed(name: string): Verdict<Crop> {
  const found = cropOrNull(name);
  if (found !== null) return accept(found);
  const near = didYouMean(name.trim().toLowerCase(), crops().flatMap(namesOf));
  return decline(`There is no crop "${name}" in the library.${near}`);
}

/** What the short name beside a number stands for. Throws for a name that no crop cites. */
export function sourceNamed(name: string): CropSource {
  const source = library().sources.get(name);
  if (source === undefined) throw new Error(`No source is named "${name}".`);
  return source;
}
