/** What a plan takes, in a grower's words: seed, mat, light and feed. */

import type { Range } from '../../shared/crops/library/crop';
import type { PieceSize } from '../../shared/physics/soak';
import type { Needs } from '../../shared/planning/needs';
import type { BatchPlan } from '../../shared/planning/plan';
import type { PlanRequest } from '../../shared/planning/request';
import { percentToTenths } from '../../shared/text/percent';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { MM_PER_IN } from '../../shared/units/kinds';
import type { Fact } from '../terminal/output';
import { aboutVolume, rough } from './about';
import type { ToldPlan } from './told-plan';

const roughVolume = (ml: number, units: UnitSystem): string => aboutVolume(ml, units, rough);

function roughRange({ low, high }: Range, units: UnitSystem): string {
  const [from, to] = [roughVolume(low, units), roughVolume(high, units)];
  return from === to ? from : `${from} to ${to}`;
}

export const counted = (count: number, what: string): string =>
  `${count} ${what}${count === 1 ? '' : 's'}`;

/** Chances near 1 are told apart by what is left. */
const nearPercent = (share: number): string => `${Number((share * 100).toFixed(3))} %`;

/** `36 x 36 x 40 mm`. */
export function plugText({ lengthMm, widthMm, heightMm }: PieceSize, units: UnitSystem): string {
  const inches = (mm: number): string => (mm / MM_PER_IN).toFixed(1);
  const [sides, unit] =
    units === 'us'
      ? [[lengthMm, widthMm, heightMm].map(inches), 'in']
      : [[lengthMm, widthMm, heightMm].map(Math.round), 'mm'];
  return `${sides.join(' x ')} ${unit}`;
}

export function seedFact({ crop, request, plan }: ToldPlan, units: UnitSystem): Fact {
  const { seeds, plants, germination, trays, inLastTray, plug } = plan.seed;
  const what = counted(seeds, crop.from === 'cutting' ? 'cutting' : 'seed');
  const cells = `${trays === 1 ? '1 tray' : `${trays} trays`} of ${request.cellsPerTray}`;
  const last = trays === 1 ? '' : `, ${inLastTray} plugs in the last`;
  return {
    label: crop.from === 'cutting' ? 'Cuttings' : 'Seed',
    value: `${what}, one a plug of ${plugText(plug, units)}: ${cells}${last}`,
    note: `${plants} ${plants === 1 ? 'stands' : 'stand'} with ${nearPercent(request.certainty)} certainty at ${Math.round(germination * 100)} %: ${request.plants} and ${percentToTenths(request.spareShare)} spare`,
  };
}

export function needFacts({ request, plan }: ToldPlan, units: UnitSystem): Fact[] {
  const { needs } = plan;
  const { light, feedEc, stockEachMl } = needs;
  const stock =
    stockEachMl === null
      ? ''
      : `; ${roughRange(stockEachMl, units)} of each part of a stock that adds ${request.stock.gainMsCm} mS/cm at 1:${request.stock.ratio}`;
  return [
    matFact(request, plan, units),
    {
      label: 'Light',
      value: `${Math.round(light.hoursPerDay)} h a day, ${rough(light.hours)} h in all`,
      note: `for ${formatQuantity('light-sum', light.dliMol, units)} at ${formatQuantity('ppfd', request.ppfdUmol, units)}${laterLight(light, units)}`,
    },
    {
      label: 'Feed',
      value: `${roughVolume(needs.soakMl, units)} to soak in, ${roughRange(needs.givenMl, units)} later`,
      note:
        feedEc === null
          ? 'strength: nobody has published any'
          : `EC ${ecRange(feedEc)} mS/cm at first (${feedEc.source})${laterFeed(needs)}${stock}`,
    },
  ];
}

/** What a later stage wants more of, in words; empty where none does. */
function laterLight({ most }: Needs['light'], units: UnitSystem): string {
  if (most === null) return '';
  const wanted = formatQuantity('light-sum', most.dliMol, units);
  return `; later up to ${wanted}: ${Math.round(most.hoursPerDay)} h a day of it, or a stronger lamp`;
}

function laterFeed({ feedEc, strongestEc }: Needs): string {
  if (feedEc === null || strongestEc === null || strongestEc.high <= feedEc.high) return '';
  return `, later up to ${ecRange(strongestEc)} (${strongestEc.source}), and 1.0 at most around the transplant`;
}

function ecRange({ low, high }: Range): string {
  const [from, to] = [low.toFixed(1), high.toFixed(1)];
  return from === to ? from : `${from} to ${to}`;
}

function matFact({ mat }: PlanRequest, plan: BatchPlan, units: UnitSystem): Fact {
  const { matDays } = plan.needs;
  const room = roomNote(plan, units);
  if (mat === null) return { label: 'Mat', value: 'none', note: room };
  return {
    label: 'Mat',
    value: matDays === 0 ? 'not needed' : `${matDays} d`,
    note: `${firstWarmth(plan, units)}, ${room}`,
  };
}

function firstWarmth({ rootZone }: BatchPlan, units: UnitSystem): string {
  if (!rootZone.isWarmed) return 'warm enough at first without';
  return `at ${formatQuantity('temperature', rootZone.nightC, units)} first (${rootZone.source})`;
}

/** The room that all days are reckoned for. */
function roomNote({ room }: BatchPlan, units: UnitSystem): string {
  const [night, day] = [room.nightC, room.dayC].map((at) =>
    formatQuantity('temperature', at, units),
  );
  const air = night === day ? `${day}` : `${night} by night and ${day} by day`;
  switch (room.by) {
    case 'told':
      return `in a room of ${air}`;
    case 'tables':
      return `in a room taken as the tables’, ${air}: say --room`;
    case 'usual':
      return `in a room taken as ${air}: say --room`;
  }
}
