/** `feed ladder`: how strong a crop is fed, stage by stage, and which way the light leans it. */
import type { Command } from 'commander';
import {
  type Lean,
  ladderOf,
  MILD_MOST_MS_CM,
  MS_CM_PER_MG_L_N,
  type Rung,
} from '../../shared/crops/ladder';
import type { CropStageName, Published, Range } from '../../shared/crops/library/crop';
import { sourceNamed } from '../../shared/crops/library/library';
import { shippedProfile } from '../../shared/profile/host/shipped';
import { cropOf } from '../arguments/crop';
import { lightSum } from '../arguments/ppfd';
import type { Act } from '../context';
import { table, wrap } from '../terminal/output';

const EXAMPLE = 'For example: trayward feed ladder pepper --dli 12mol';
const OPTIONS = { dli: lightSum(EXAMPLE) };

const LEAN_WORDS: Readonly<Record<Lean, string>> = {
  weaker: 'rather weaker',
  'as-told': 'as told',
  stronger: 'rather stronger',
};

/** Before it is up a seed feeds itself, and a cutting has no roots to feed by. */
const NOTHING_PUBLISHED: Readonly<Record<CropStageName, string>> = {
  germinate: 'no feed: the seed feeds itself',
  callus: 'no feed: there are no roots yet',
  root: 'nothing published',
  seedling: 'nothing published',
  grow: 'nothing published',
  harden: `never above EC ${MILD_MOST_MS_CM.toFixed(1)} around transplanting (common practice)`,
};

const rangeText = ({ low, high }: Range, digits: number): string =>
  low === high ? low.toFixed(digits) : `${low.toFixed(digits)} to ${high.toFixed(digits)}`;

/** A row for each source of a stage; the stage is named once. */
function rowsOf(rung: Rung): readonly (readonly string[])[] {
  const { stage, feedEcMsCm, feedNMgL, dliMolM2D, start, lean } = rung;
  const told = (published: Published, digits: number, column: number): string[][] =>
    published.map((range) => {
      const cells = ['', '', '', '', range.source];
      cells[column] = rangeText(range, digits);
      return cells;
    });
  const rows = [...told(feedEcMsCm, 1, 1), ...told(feedNMgL, 0, 2), ...told(dliMolM2D, 0, 3)];
  const leaning = lean === null ? '' : `, ${LEAN_WORDS[lean]}`;
  const begin =
    start === null
      ? NOTHING_PUBLISHED[stage]
      : `begin with about ${start.ecMsCm.toFixed(1)} mS/cm${start.mild ? ': no first feed is stronger (common practice)' : leaning}`;
  return [[stage, '', '', '', begin], ...rows];
}

const COLUMNS = [
  { title: 'stage' },
  { title: 'EC mS/cm' },
  { title: 'N mg/l' },
  { title: 'light mol/m2/d' },
  { title: 'says' },
];

/** What the table does not say by itself. */
const NOTES = `Where a source gives nitrogen alone, EC is reckoned by 15-5-15: ${MS_CM_PER_MG_L_N} mS/cm for each mg/l. These are of feed in pure water: the salts of yours come on top, or count towards it. In strong light plants drink more water than salts, so feed weaker then. Nothing is fed before emergence. Weak feed is soon made up for, burnt roots are not: where you doubt, begin weaker.`;

/** What the light that was told changes, and why no more than that. */
const LEANING =
  ' No source known here tells by how much light changes feed. By yours the beginning goes to that end of a published range; a single figure stays as it is, and so does what young roots bear.';

/** What the profile that comes with the program feeds this crop, in its own stages; null where none comes. */
function shippedFeed(crop: string): { stage: string; feedEcMsCm: number }[] | null {
  const profile = shippedProfile(crop);
  if (profile === null) return null;
  return profile.stages
    .filter(({ feedEc }) => feedEc > 0)
    .map(({ name, feedEc }) => ({ stage: name, feedEcMsCm: feedEc }));
}

/** First of all, for a tray that runs it: what others publish is for blocks and pots as well. */
function profileText(crop: string, fed: ReturnType<typeof shippedFeed>): string {
  if (fed === null) return '';
  const stages = fed.map(({ stage, feedEcMsCm }) => `${stage} ${feedEcMsCm.toFixed(1)}`);
  return `Trayward's own profile of ${crop} feeds milder on purpose, mS/cm: ${stages.join(', ')}. On a tray that goes before what others publish:\n\n`;
}

export function addLadder(noun: Command, act: Act): void {
  noun
    .command('ladder')
    .description('EC of the feed by stage for a crop, each with its source, and by your light')
    .argument('<crop>', 'such as pepper')
    .option('--dli <light>', 'light of your day (its DLI), such as 12mol')
    .action(
      act(OPTIONS, async (context, { dli }, [name]) => {
        const crop = cropOf(name);
        const rungs = ladderOf(crop, dli);
        const sources = [
          ...new Set(
            rungs
              .flatMap(({ feedEcMsCm, feedNMgL, dliMolM2D }) => [
                ...feedEcMsCm,
                ...feedNMgL,
                ...dliMolM2D,
              ])
              .map(({ source }) => source),
          ),
        ].map(sourceNamed);
        const { style } = context;
        const shipped = shippedFeed(crop.name);
        const rows = rungs.flatMap((rung) => rowsOf(rung));
        const notes = dli === null ? NOTES : NOTES + LEANING;
        return {
          result: { crop: crop.name, dliMolM2D: dli, rungs, shippedProfile: shipped, sources },
          text: `${wrap(profileText(crop.name, shipped), style.width)}${table(COLUMNS, rows, style)}\n\n${wrap(notes, style.width)}`,
          isLong: true,
        };
      }),
    );
}
