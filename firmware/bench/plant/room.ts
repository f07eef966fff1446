/** The room round the tray: temperature by the hour, vapour, and light. */

import { saturationKpa } from '../../../shared/physics/vapour';
import type { Random } from '../random';

export interface RoomParameters {
  readonly meanC: number;
  /** Half of the difference between the warmest and the coldest hour. */
  readonly swingK: number;
  /** Hour of the day, 0..24, at which it is warmest. */
  readonly warmestHour: number;
  /** Relative humidity at the mean temperature, 0..1; the vapour itself does not follow the hour. */
  readonly humidityShare: number;
  /** Standard deviation of the slow weather on top of the day's curve. */
  readonly weatherK: number;
  readonly lightFromHour: number;
  readonly lightHours: number;
  /** Light of the lamp where it hangs usually, umol/m2s. */
  readonly lampPpfd: number;
}

/** Whether the lamp follows its timer, or somebody switched it. */
export type LampSwitch = 'timer' | 'on' | 'off';

/**
 * A heated room or shed in early spring (common practice; no source found), with a lamp that gives young plants the
 * 10 mol/m2 a day they should have at least (Michigan State Univ., Low daily light integrals).
 */
export const ROOM: RoomParameters = {
  meanC: 18,
  swingK: 2,
  warmestHour: 15,
  humidityShare: 0.55,
  weatherK: 0.4,
  lightFromHour: 6,
  lightHours: 16,
  lampPpfd: 175,
};

/** Light of a lamp carries so much heat, W/m2 per umol/m2s (Thimijan and Heins 1983: 1/4.6). */
const LAMP_W_PER_PPFD = 1 / 4.6;
/** Sun through a window on the tray, W/m2, and its light for plants, umol/m2s per W (sunlight: 2). */
const SUN_WM2 = 400;
const SUN_PPFD_PER_W = 2;

/** Weather forgets itself over half a working day. */
const WEATHER_S = 6 * 3600;

/**
 * airC = mean + swing cos(2 pi (hour - warmest) / 24) + weather, where weather is a first-order
 * autoregressive process. Vapour pressure is that of the mean temperature and humidity.
 */
export class Room {
  airC: number;
  vapourKpa: number;
  /** The lamp's hours: day for the grower's habits. */
  lit = false;
  lamp: LampSwitch = 'timer';
  /** Light of the lamp against where it hangs usually: hung twice as high, a quarter. */
  lampShare = 1;
  sunny = false;
  /** Light on the tray, umol/m2s, and its heat, W/m2. */
  ppfd = 0;
  lightWM2 = 0;
  private weatherK = 0;

  constructor(
    private readonly parameters: RoomParameters,
    private readonly random: Random,
    hour: number,
  ) {
    this.airC = parameters.meanC;
    this.vapourKpa = parameters.humidityShare * saturationKpa(parameters.meanC);
    this.update(hour, 0);
  }

  /** Brings the room to `hour` of the day, `dtS` seconds after the last update. */
  update(hour: number, dtS: number): void {
    const { meanC, swingK, warmestHour, weatherK, lightFromHour, lightHours } = this.parameters;
    const keep = Math.exp(-dtS / WEATHER_S);
    this.weatherK =
      this.weatherK * keep + weatherK * Math.sqrt(1 - keep * keep) * this.random.normal();
    const day = Math.cos((2 * Math.PI * (hour - warmestHour)) / 24);
    this.airC = meanC + swingK * day + this.weatherK;
    this.lit = (hour - lightFromHour + 48) % 24 < lightHours;
    const burns = this.lamp === 'timer' ? this.lit : this.lamp === 'on';
    const lampPpfd = burns ? this.parameters.lampPpfd * this.lampShare : 0;
    const sunWM2 = this.sunny ? SUN_WM2 : 0;
    this.ppfd = lampPpfd + sunWM2 * SUN_PPFD_PER_W;
    this.lightWM2 = lampPpfd * LAMP_W_PER_PPFD + sunWM2;
  }
}
