/** Models of parts for the simulator, at their worst. */
import { thresholdHotV } from '../checks/outputs';
import type { RatingsOf } from '../circuit/kinds';

/** A level 1 switch when hot: lowest threshold, gain from the stated on-resistance, body diode to its source. */
export function switchModel(name: string, ratings: RatingsOf<'mosfet'>): string {
  const vto = thresholdHotV(ratings);
  const kp = 1 / (ratings.onOhm * (ratings.onAtGateV - vto));
  const sign = ratings.channel === 'n' ? '' : '-';
  return `.model ${name} ${ratings.channel}mos(level=1 vto=${sign}${vto} kp=${kp} cgso=0 cgdo=0 is=1e-14)`;
}
