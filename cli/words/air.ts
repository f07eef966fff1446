/** The air in a grower's words. */
import { LID_STEPS, type LidStep } from '../../shared/physics/humidity';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import type { Fact } from '../terminal/output';
import { degreesText } from './about';
import { lidText } from './lid';

interface Told {
  readonly airC: number;
  readonly humidityShare: number;
  readonly leafC: number;
  readonly vpdKpa: number;
  readonly leafVpdKpa: number;
  readonly dewPointC: number | null;
  readonly dewPointMostC: number;
  readonly doubtKpa: number;
  readonly lid: LidStep | null;
}

const kPa = (value: number): string => `${value.toFixed(2).replace(/^-(0\.00)$/, '$1')} kPa`;

export function airFacts(told: Told, units: UnitSystem): Fact[] {
  const celsius = (value: number): string => formatQuantity('temperature', value, units);
  const isLeafApart = told.leafC !== told.airC;
  return [
    { label: 'air', value: celsius(told.airC) },
    { label: 'humidity', value: `${Math.round(told.humidityShare * 100)} %` },
    {
      label: isLeafApart ? 'deficit of the air' : 'deficit (VPD)',
      value: kPa(told.vpdKpa),
      note: `give or take ${kPa(told.doubtKpa)}, by a fair instrument`,
    },
    ...(isLeafApart
      ? [
          { label: 'leaves', value: celsius(told.leafC) },
          { label: 'deficit at the leaf', value: kPa(told.leafVpdKpa) },
        ]
      : []),
    { label: 'dew point', value: dewPointText(told, units) },
  ];
}

/** `13.9 °C`, `-14 °C`, or `below -19 °C` where that is all that is known. */
function dewPointText({ dewPointC, dewPointMostC }: Told, units: UnitSystem): string {
  const celsius = (value: number): string =>
    Number.isInteger(dewPointMostC)
      ? degreesText(value, units)
      : formatQuantity('temperature', value, units);
  return dewPointC === null ? `below ${celsius(dewPointMostC)}` : celsius(dewPointC);
}

/** `0.5 to 0.8 kPa: loose or propped`. */
const stepText = ({ lids, lowKpa, highKpa }: LidStep): string =>
  `lid ${lids.map(lidText).join(' or ')} (${lowKpa} to ${highKpa} kPa)`;

/** What it means for leaves and lid. */
export function airSentences(told: Told, units: UnitSystem): string[] {
  const { leafVpdKpa, doubtKpa, dewPointC, dewPointMostC, lid } = told;
  const last = LID_STEPS.at(-1);
  const falls =
    dewPointC === null || dewPointMostC < 0
      ? 'Dew falls on nothing here that is above freezing.'
      : `Dew falls on what is colder than ${dewPointText(told, units)}: the lid, in a room colder than that.`;
  if (leafVpdKpa <= 0) {
    // What a fair instrument cannot tell from 0 is not below it.
    const where =
      leafVpdKpa < -doubtKpa
        ? 'are colder than the dew point: they are wet'
        : 'are at the dew point, as closely as this tells: they are wet, or soon will be';
    return [`The leaves ${where}, and rot comes of it. Air the tray, or warm it.`, falls];
  }
  if (lid === null) {
    return [
      `Too dry for young plants: they wilt above ${last?.highKpa} kPa (common practice). Damp the room, shade, or leave more of the lid on.`,
      falls,
    ];
  }
  return [
    `Round the leaves such air suits ${lid.plants}: ${stepText(lid)}, by common practice.`,
    ...(lid === LID_STEPS[0]
      ? []
      : ['If it is the air of the room, go there from a closed lid by a step every day or two.']),
    falls,
  ];
}
