/** Light in a grower's words. */
import { LAMPS, type LampName } from '../../shared/physics/light';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import type { JudgedLight, LightWanted } from '../light/wanted';
import type { Fact } from '../terminal/output';

export const LAMP_CAUTION =
  'Lamps and their gear get hot, and mains stands close to water: fixtures made for wet places, drip loops, a residual-current device, chains that hold. Do not look into a lamp. Local codes and licensed practice come first.';

/** More light in a day than this many hours lets some crops sicken. */
const LONG_DAY_HOURS = 18;

interface Told {
  readonly ppfdUmol: number;
  readonly leastUmol: number;
  readonly mostUmol: number;
  readonly hours: number;
  readonly leastMolM2D: number;
  readonly mostMolM2D: number;
  readonly lamp: { readonly name: LampName; readonly lux: number } | null;
  readonly wanted: (LightWanted & { readonly judged: JudgedLight }) | null;
}

/** `185`, or `160 to 210` where that is all that is known of it. */
function between(least: number, most: number, show: (value: number) => string): string {
  if (least === most) return show(least);
  // The unit once is enough.
  return `${show(least).split(' ')[0]} to ${show(most)}`;
}

/** No timer is set, and no light known, any finer. */
const TEN_MIN_S = 600;
const toTenMinutes = (seconds: number): number =>
  seconds < 10 * TEN_MIN_S ? seconds : Math.round(seconds / TEN_MIN_S) * TEN_MIN_S;

export function lightFacts(told: Told, units: UnitSystem): Fact[] {
  const ppfd = (value: number): string => formatQuantity('ppfd', value, units);
  const sum = (value: number): string => formatQuantity('light-sum', value, units);
  const { lamp, wanted } = told;
  const inLux = lamp === null ? '' : formatQuantity('illuminance', lamp.lux, units);
  return [
    { label: 'light', value: between(told.leastUmol, told.mostUmol, ppfd) },
    ...(lamp === null
      ? []
      : [
          { label: 'a lux meter', value: `about ${inLux}`, note: `under ${LAMPS[lamp.name].name}` },
        ]),
    {
      label: 'hours',
      value: `${formatQuantity('duration', toTenMinutes(told.hours * 3600), units)} a day`,
    },
    { label: 'sum of a day', value: between(told.leastMolM2D, told.mostMolM2D, sum) },
    ...(wanted === null
      ? []
      : [
          {
            label: `${wanted.crop}, ${wanted.stage}`,
            value: between(wanted.lowMolM2D, wanted.highMolM2D, sum),
            note: wanted.sources.join('; '),
          },
        ]),
  ];
}

const JUDGED: Readonly<Record<JudgedLight, string>> = {
  less: 'That is less than the crop wants: more hours, a stronger lamp, or one that hangs lower.',
  enough: 'That is what the crop wants.',
  more: 'That is more than the crop wants: dim it, raise the lamp, or shorten the day.',
  unsure: 'Whether that is what the crop wants, this meter does not tell closely enough.',
};

/** What goes with the figures. */
export function lightSentences({ lamp, wanted, hours }: Told): string[] {
  const about = lamp === null ? null : LAMPS[lamp.name];
  return [
    ...(wanted === null ? [] : [JUDGED[wanted.judged]]),
    ...(about === null
      ? []
      : [
          `Under ${about.name} ${about.luxPerUmol} lux are about one µmol (${about.source}), within ${Math.round(about.errorShare * 100)} %. A quantum meter tells it better.`,
        ]),
    ...(hours > LONG_DAY_HOURS
      ? [
          'Leave some dark: tomato, pepper and eggplant sicken in light without end (from memory: Velez-Ramirez et al. 2011).',
        ]
      : []),
  ];
}
