/** A crop on a grower's screen: each number with the number of its source. */
import { MS_CM_PER_MG_L_N } from '../../shared/crops/ladder';
import type { Crop, CropStage, TrialRow, Trials } from '../../shared/crops/library/crop';
import { emergence, noGerminationBy, printedDays } from '../../shared/crops/library/emergence';
import type { Context } from '../context';
import { type Column, type Fact, facts, indented, table, wrap } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import {
  Citations,
  cellsText,
  daysText,
  ecText,
  lightText,
  nitrogenText,
  over,
  spacingText,
  temperatureText,
  weeksText,
} from './ranges';

type Screen = Pick<Context, 'style' | 'units'>;

const STAGE_TITLES: Readonly<Record<CropStage['name'], string>> = {
  germinate: 'Coming up',
  callus: 'Callusing',
  root: 'Rooting',
  seedling: 'Seedling',
  grow: 'Growing on',
  harden: 'Hardening off',
};

/** All there is. `full`: sources with where to find them, else by their short names. */
export function showText(crop: Crop, full: boolean, screen: Screen): string {
  const cited = new Citations();
  const all = [
    headText(crop, screen),
    startText(crop, cited, screen),
    trialsText(crop.trials, cited, screen),
    ...crop.stages.map((stage) => stageText(stage, cited, screen)),
    plantingText(crop, cited, screen),
  ];
  const parts = [...all, sourcesText(cited, full, screen)];
  return parts.filter((part) => part !== '').join('\n\n');
}

function headText(crop: Crop, { style }: Screen): string {
  const begun = crop.from === 'seed' ? 'from seed' : 'from cuttings';
  const moved = crop.isTransplanted ? 'transplanted' : 'not transplanted';
  const also = crop.also.length === 0 ? [] : [`Also called ${crop.also.join(', ')}.`];
  const lines = [
    `${style.strong(capitalised(crop.name))} (${crop.latin}): ${crop.kind}, ${begun}, ${moved}.`,
    ...also,
    ...(crop.note === '' ? [] : [crop.note]),
  ];
  return wrap(lines.join('\n'), style.width);
}

/** What is told of one temperature of the root zone, and nothing else. */
export function atText(crop: Crop, atC: number, full: boolean, screen: Screen): string {
  const { style, units } = screen;
  const cited = new Citations();
  const where = temperatureText(units)({ low: atC, high: atC });
  const forecast = emergence(crop, atC);
  if (!forecast.ok) {
    const never = noGerminationBy(crop, atC);
    const why =
      crop.from === 'cutting'
        ? `${capitalised(crop.name)} is begun from cuttings: nothing emerges. \`trayward crop show ${crop.name}\` tells how they root.`
        : never === null
          ? `How long ${crop.name} seed takes at ${where} is in none of the trials known here. \`trayward crop show ${crop.name}\` lists them.`
          : `At ${where} no ${crop.name} seed comes up (${never}).`;
    return wrap(why, style.width);
  }
  const { days, estimates, normal } = forecast.value;
  const list: Fact[] = estimates.map(({ by, source, low, high }) => ({
    label: by === 'trials' ? 'By trials' : 'By thermal time',
    value: `${daysText(printedDays({ low, high }))} [${cited.number(source)}]`,
  }));
  if (normal !== null) {
    const percent = (normal.share * 100).toFixed(0);
    list.push({
      label: 'Normal seedlings',
      value: `${percent} of 100 [${cited.number(normal.source)}]`,
    });
  }
  const head = `With the root zone at ${where} ${crop.name} seed is up in ${daysText(printedDays(days))}.`;
  return [
    `${wrap(head, style.width)}\n${facts(list, style, 2)}`,
    sourcesText(cited, full, screen),
  ].join('\n\n');
}

/** What its seed bears, or how its cuttings root. */
function startText(crop: Crop, cited: Citations, { style, units }: Screen): string {
  const written = temperatureText(units);
  const seed = crop.temperatures.map(({ minC, bestLowC, bestHighC, maxC, source }): Fact => {
    const limits = [
      ...(minC === null ? [] : [`not below ${written({ low: minC, high: minC })}`]),
      ...(maxC === null ? [] : [`not above ${written({ low: maxC, high: maxC })}`]),
    ];
    const best = `best ${written({ low: bestLowC, high: bestHighC })}`;
    return { label: 'Seed', value: `${[best, ...limits].join(', ')} [${cited.number(source)}]` };
  });
  const rooting = crop.rooting === null ? [] : rootingFacts(crop.rooting, cited);
  if (seed.length > 0) return `Root zone while it comes up\n${facts(seed, style, 2)}`;
  return rooting.length === 0 ? '' : `Days from sticking\n${facts(rooting, style, 2)}`;
}

/** A source that gives one time for both says it once: callus alone takes as long as its stage lasts. */
function rootingFacts(
  { callusDays, rootsDays }: NonNullable<Crop['rooting']>,
  cited: Citations,
): readonly Fact[] {
  const [callus, roots] = [cited.told(callusDays, daysText), cited.told(rootsDays, daysText)];
  if (callus === roots && roots !== '') return [{ label: 'Callus, first roots', value: roots }];
  return [
    { label: 'Callus', value: callus },
    { label: 'First roots', value: roots },
  ].filter(({ value }) => value !== '');
}

/** All trials in one table, one source below the other. */
function trialsText(list: readonly Trials[], cited: Citations, { style, units }: Screen): string {
  if (list.length === 0) return '';
  const upIn = ({ days }: TrialRow): string =>
    days === null ? '-' : days === 'never' ? 'none' : daysText(days);
  const share = ({ normalShare }: TrialRow): string =>
    normalShare === null ? '-' : `${(normalShare * 100).toFixed(0)} of 100`;
  const columns: readonly Column[] = [
    { title: 'Root zone', align: 'right' },
    { title: 'Up in', align: 'right' },
    { title: 'Normal seedlings', align: 'right' },
    { title: 'By' },
  ];
  const rows = list.flatMap(({ source, rows: own }) =>
    own.map((row) => [
      temperatureText(units)(row.atC),
      upIn(row),
      share(row),
      `[${cited.number(source)}]`,
    ]),
  );
  return `Days to emergence\n${indented(table(columns, rows, style), 2)}`;
}

function stageText(stage: CropStage, cited: Citations, { style, units }: Screen): string {
  const temperature = temperatureText(units);
  const list: Fact[] = [
    { label: 'Lasts', value: cited.told(stage.days, daysText) },
    { label: 'Root zone', value: cited.told(stage.rootZoneC, temperature) },
    { label: 'Air by day', value: cited.told(stage.airDayC, temperature) },
    { label: 'Air by night', value: cited.told(stage.airNightC, temperature) },
    { label: 'Feed', value: cited.told(stage.feedEcMsCm, ecText) || ecByNitrogen(stage) },
    { label: 'Nitrogen', value: cited.told(stage.feedNMgL, nitrogenText) },
    { label: 'Light', value: cited.told(stage.dliMolM2D, lightText) },
  ].filter(({ value }) => value !== '');
  return list.length === 0 ? '' : `${STAGE_TITLES[stage.name]}\n${facts(list, style, 2)}`;
}

/** Flower growers tell the feed by its nitrogen; the meter shows EC. Empty where neither is known. */
function ecByNitrogen({ feedNMgL }: CropStage): string {
  const range = over(feedNMgL);
  if (range === null) return '';
  const ec = { low: range.low * MS_CM_PER_MG_L_N, high: range.high * MS_CM_PER_MG_L_N };
  return `about ${ecText(ec)}, by its nitrogen`;
}

function plantingText(crop: Crop, cited: Citations, { style, units }: Screen): string {
  const list: Fact[] = [
    {
      label: crop.from === 'seed' ? 'From sowing' : 'From sticking',
      value: cited.told(crop.daysToTransplant, weeksText),
    },
    { label: 'Tray of 10 x 20 in', value: cited.told(crop.cellsPerTray, cellsText) },
    { label: 'In the row', value: cited.told(crop.inRowMm, spacingText(units)) },
    { label: 'Between rows', value: cited.told(crop.betweenRowsMm, spacingText(units)) },
  ].filter(({ value }) => value !== '');
  const title = crop.isTransplanted ? 'To transplant' : 'Room it wants';
  return list.length === 0 ? '' : `${title}\n${facts(list, style, 2)}`;
}

function sourcesText(cited: Citations, full: boolean, { style }: Screen): string {
  const list = cited.sources.map(({ name, citation }, i) => ({
    label: `[${i + 1}]`,
    value: full ? citation : name,
  }));
  const more = full ? '' : '\n`--sources` tells where to find them.';
  return `Sources\n${facts(list, style, 2)}${more}`;
}
