/** The room round the tray: temperature by the hour, vapour, and light. */
import type { Random } from '../random';
import { saturationKpa } from './vapour';

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
}

/** A heated room or shed in early spring (common practice). */
export const ROOM: RoomParameters = {
  meanC: 18,
  swingK: 2,
  warmestHour: 15,
  humidityShare: 0.55,
  weatherK: 0.4,
  lightFromHour: 6,
  lightHours: 16,
};

/** Weather forgets itself over half a working day. */
const WEATHER_S = 6 * 3600;

/**
 * airC = mean + swing cos(2 pi (hour - warmest) / 24) + weather, where weather is a first-order
 * autoregressive process. Vapour pressure is that of the mean temperature and humidity.
 */
export class Room {
  airC: number;
  vapourKpa: number;
  lit = false;
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
  }
}
