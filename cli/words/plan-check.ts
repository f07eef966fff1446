/** What batches have in common, in a grower's words. */
import type { Range } from '../../shared/crops/library/crop';
import { dayText } from '../../shared/planning/calendar-day';
import { PLAN_DEFAULTS } from '../../shared/planning/limits';
import type { PlanRequest } from '../../shared/planning/request';
import type { Clash, RoomCheck } from '../../shared/planning/room-check';
import { formatQuantity, type UnitSystem } from '../../shared/units';

const span = ({ from, to }: { from: number; to: number }): string =>
  `${dayText(from)} to ${dayText(to)}`;

function rangeText(
  kind: 'temperature' | 'light-sum',
  { low, high }: Range,
  units: UnitSystem,
): string {
  const [from, to] = [low, high].map((value) => formatQuantity(kind, value, units));
  return from === to ? String(from) : `${from} to ${to}`;
}

/** Where something is: by its name. */
const PLACE = { mat: 'on', light: 'under' } as const;

function clashText(clash: Clash, units: UnitSystem): string {
  switch (clash.kind) {
    case 'mat':
    case 'light':
      return `${clash.trays} trays ${PLACE[clash.kind]} "${clash.place}", which takes ${clash.holds}: ${clash.batches.join(', ')}.`;
    case 'band':
    case 'sum': {
      const [a, b] = clash.sides.map(({ batch, stage, wants }) => {
        const range = rangeText(clash.kind === 'band' ? 'temperature' : 'light-sum', wants, units);
        return `${batch} (${stage}) wants ${range}`;
      });
      const what =
        clash.kind === 'band' ? 'One mat has one temperature' : 'One lamp gives one light';
      return `${what}; ${PLACE[clash.kind === 'band' ? 'mat' : 'light']} "${clash.place}" ${a}, ${b}.`;
    }
    case 'room':
      return `${clash.batches.join(' and ')} are planned for rooms of different warmth: they are not in one.`;
  }
}

/** What is to be done about clashes. */
const ADVICE =
  'Move a date (`plan make` again), give one of them another mat or light by name (--mat, --light), or say how many trays yours takes (--mat-holds, --light-holds).';

/** One line each, by their days. */
export function checkText(names: readonly string[], check: RoomCheck, units: UnitSystem): string {
  const { overlaps, clashes } = check;
  const met =
    overlaps.length === 0
      ? [`${names.join(', ')} are never in the room at once.`]
      : [
          'In the room at once:',
          ...overlaps.map((one) => `  ${span(one)}  ${one.batches.join(', ')}`),
        ];
  const found =
    clashes.length === 0
      ? ['Nothing is double-booked, and no two contradict each other.']
      : [
          'What does not go together:',
          ...clashes.map((clash) => `- ${span(clash)}: ${clashText(clash, units)}`),
          ADVICE,
        ];
  return [...met, ...found].join('\n');
}

/** One mat that has a name in one plan and none in another would be booked as two. Empty where that is not so. */
export function namesRemark(requests: readonly PlanRequest[]): string[] {
  return (['mat', 'light'] as const).flatMap((what) => {
    const named = new Set(requests.flatMap((request) => request[what] ?? []));
    const usual = PLAN_DEFAULTS[what];
    if (!named.has(usual) || named.size < 2) return [];
    const others = [...named].filter((name) => name !== usual).map((name) => `"${name}"`);
    return [
      `Plans without --${what} are taken to be ${PLACE[what]} another one than ${others.join(', ')}: give them its name where it is the same.`,
    ];
  });
}
