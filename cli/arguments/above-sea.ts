/** The height of a place above the sea, which may lie below it. */
import { AIR_LIMITS } from '../../shared/physics/humidity';
import { parseQuantity } from '../../shared/units';
import { usage } from '../failure';
import { type Reader, shortened } from './options';
import { rangeText } from './within';

const SIGN = /^[+\u2212-]\s*/;

/** Metres, or null. A distance has no sign, a height has. */
export const heightAboveSea =
  (next: string): Reader<number | null> =>
  (typed, flag, units) => {
    if (typeof typed !== 'string') return null;
    const [sign = ''] = SIGN.exec(typed.trim()) ?? [];
    const parsed = parseQuantity('distance', typed.trim().slice(sign.length));
    const { altitudeLeastM, altitudeMostM } = AIR_LIMITS;
    const range = `${rangeText('distance', altitudeLeastM, altitudeMostM, units)}. It is the height above the sea: the lowest shore lies below it, and nothing grows higher.`;
    if (!parsed.ok) throw usage(`${flag}: ${parsed.why} It is ${range}`, next, 'not-a-quantity');
    const heightM = sign === '' || sign.startsWith('+') ? parsed.value : -parsed.value;
    if (heightM >= altitudeLeastM && heightM <= altitudeMostM) return heightM;
    throw usage(`${flag} ${shortened(typed)} is out of range: ${range}`, next, 'out-of-range');
  };
