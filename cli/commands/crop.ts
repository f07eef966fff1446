/** `crop list|show|compare`: what published tables say of each crop of the library. */
import { type Command, Option } from 'commander';
import { CROP_KINDS, type Crop } from '../../shared/crops/library/crop';
import { emergence } from '../../shared/crops/library/emergence';
import { crops, sourceNamed, sourcesOf } from '../../shared/crops/library/library';
import { cropOf } from '../arguments/crop';
import { given, oneOf } from '../arguments/options';
import { within } from '../arguments/within';
import type { Act, Context } from '../context';
import { compareText, sharedBestC } from '../crop/compare';
import { daysText, temperatureText, weeksText } from '../crop/ranges';
import { atText, showText } from '../crop/show';
import { type CropSummary, summaryOf } from '../crop/summary';
import { usage } from '../failure';
import { table, wrap } from '../terminal/output';

const LIST = '`trayward crop list` has them all.';

function listText(list: readonly CropSummary[], { style, units }: Context): string {
  const rows = list.map((crop) => [
    crop.name,
    crop.kind,
    crop.from,
    crop.startC === null ? '-' : temperatureText(units)(crop.startC),
    crop.startDays === null ? '-' : daysText(crop.startDays),
    !crop.isTransplanted
      ? 'sown in place'
      : crop.toTransplantDays === null
        ? '-'
        : weeksText(crop.toTransplantDays),
  ]);
  const titles = ['Crop', 'Kind', 'From', 'Root zone', 'Up, or rooted', 'To transplant'];
  const profiles = list.filter(({ hasProfile }) => hasProfile).map(({ name }) => name);
  const next = [
    'Days are for the middle of that root zone, over all sources. `trayward crop show NAME` tells whose.',
    ...(profiles.length === 0
      ? []
      : [`There is a profile to start from for ${profiles.join(', ')}: \`trayward profile new\`.`]),
  ];
  return `${table(
    titles.map((title) => ({ title })),
    rows,
    style,
  )}\n\n${wrap(next.join('\n'), style.width)}`;
}

const LIST_OPTIONS = { kind: oneOf(CROP_KINDS) };

function registerList(noun: Command, act: Act): void {
  noun
    .command('list')
    .description('all crops: root zone, days until up, weeks to transplant')
    .addOption(new Option('--kind <kind>', 'those of one kind').choices(CROP_KINDS))
    .action(
      act(LIST_OPTIONS, async (context, { kind }) => {
        const list = crops()
          .filter((crop) => kind === null || crop.kind === kind)
          .map(summaryOf);
        return { result: { crops: list }, text: listText(list, context), isLong: true };
      }),
    );
}

/** Wider than any seed or root was tried at. */
const AT_MIN_C = -10;
const AT_MAX_C = 60;
const SHOW_OPTIONS = {
  at: within(
    'temperature',
    AT_MIN_C,
    AT_MAX_C,
    'No root zone was tried beyond.',
    'Give that of the root zone. For example: trayward crop show tomato --at 22C',
  ),
  sources: given,
};

/** For programs: the forecast, or why there is none. */
function forecastAt(crop: Crop, atC: number) {
  const forecast = emergence(crop, atC);
  return forecast.ok
    ? { atC, emergence: forecast.value, why: null }
    : { atC, emergence: null, why: forecast.why };
}

function registerShow(noun: Command, act: Act): void {
  noun
    .command('show')
    .argument('<name>', 'crop, as `crop list` names it')
    .description('temperatures, days, stages, feed, light and spacing, each with its source')
    .option('--at <temperature>', 'days to emergence with the root zone at that')
    .option('--sources', 'where to find each source')
    .action(
      act(SHOW_OPTIONS, async (context, { at: atC, sources }, [name]) => {
        const crop = cropOf(name);
        const at = atC === null ? null : forecastAt(crop, atC);
        const result = { crop, at, sources: sourcesOf(crop).map(sourceNamed) };
        const text =
          atC === null ? showText(crop, sources, context) : atText(crop, atC, sources, context);
        return { result, text, isLong: true };
      }),
    );
}

function registerCompare(noun: Command, act: Act): void {
  noun
    .command('compare')
    .argument('<one>', 'crop')
    .argument('<other>', 'the one to hold beside it')
    .description('two crops beside each other: does one tray do for both?')
    .action(
      act({}, async (context, _options, [one, other]) => {
        const pair = [cropOf(one), cropOf(other)] as const;
        if (pair[0] === pair[1]) {
          throw usage(`Both are ${pair[0].name}.`, `Name two crops. ${LIST}`);
        }
        return {
          result: { crops: pair.map(summaryOf), sharedBestC: sharedBestC(pair) },
          text: compareText(pair, context),
        };
      }),
    );
}

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  registerList(noun, act);
  registerShow(noun, act);
  registerCompare(noun, act);
}
