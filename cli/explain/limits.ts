/** From when on something is worth telling, and what tells two causes apart. Where no source is named: common practice. */
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';

export const SPELL_LIMITS = {
  /** Beyond the band's edge by so much: hysteresis and a probe's error stay within it. */
  beyondK: 0.5,
  /** And back when within this of it. */
  backK: 0.2,
  /** A spell is told when it was so deep, for so long. A warm one must be deeper: a lamp does a kelvin every day. */
  cold: { deepK: 1, leastMs: 30 * MINUTE_MS },
  warm: { deepK: 2, leastMs: HOUR_MS },
  /** Two spells so near each other are one. */
  joinMs: 30 * MINUTE_MS,
  /** A tray that was soaked, sown, or given another band is on its way for so long at most, moving by so much an hour. */
  wayMs: 12 * HOUR_MS,
  wayFirstMs: HOUR_MS,
  wayKPerH: 0.3,
} as const;

export const HEAT_EVIDENCE = {
  /** Share of the time on that means heating all the time; and not at all. */
  allDuty: 0.9,
  noDuty: 0.1,
  /** A mat warmer than the root zone by this gives heat; by less, it is as cold as what lies on it (as the guard has it). */
  matGivesK: 1,
  matColdK: 0.7,
  /** Wet wool does not cool or warm by so much between two readings: a probe that does was moved. */
  probeJumpK: 3,
  /** A room or a lamp warms a tray more slowly than this, K/h; the sun faster. */
  sunKPerH: 1.5,
} as const;

export const DRYING_EVIDENCE = {
  /** The rate is taken over so long, at least; noise of a settled weight is then well below a gram an hour. */
  spanMs: 50 * MINUTE_MS,
  leastMs: 30 * MINUTE_MS,
  /** And must last so long. */
  lastsMs: 45 * MINUTE_MS,
  /** After a dose, a hand or a soak the weight says nothing for so long. */
  settleMs: 20 * MINUTE_MS,
  drainMs: 2 * HOUR_MS,
  /** Usual is what most of the hours before were like, up to so far back, and from so many on. */
  usualMs: 48 * HOUR_MS,
  usualLeast: 4,
  /** Not told below so many times the usual rate and so much more than it, g/h. */
  usualTimes: 1.7,
  moreGPerH: 1.2,
  /** No slower rate is told, by the lid's place, g/h; while usual is unknown, the guard's own limits. */
  leastGPerH: {
    closed: 1.5,
    'vents-open': 3,
    loose: 5,
    propped: 9,
    'off-by-day': 45,
    off: 45,
  },
  /** Faster than air takes it even with the lid off (guard: 90 g/h), water runs out. */
  runsOutGPerH: 90,
} as const;

export const DRYNESS_EVIDENCE = {
  /** Past the rescue share for less, it was watered as it was meant to be. */
  lastsMs: 30 * MINUTE_MS,
  /** Up to this part of what the stage bears the wool is as wet as it should be: what dries it begins later. */
  onsetPart: 0.5,
  /** Trembling more than this, a weight is no weight, g. */
  steadyG: 3,
  /** Wool that has lost so much of its water is dry round the seed and the roots at its top (common practice). */
  driedOutShare: 0.3,
  /** A night of it is as bad as any. */
  weightMost: 30,
} as const;

export const WATER_EVIDENCE = {
  /** Less than this is nothing: the scale's own doubt over a dose, g. */
  nothingG: 2,
  /** What a tube from the reservoir to the tray may hold, g (2 m of 3 mm bore hold 14 ml). */
  tubeG: 15,
  /** Share of a dose that a worn tube still gives. */
  wornLeast: 0.15,
  wornMost: 0.8,
  /** Below this share of what was filled in, the account is near its end. */
  accountLow: 0.15,
  /** A rise without a dose or a hand, g, and the pace from which on it is the pump's, g/s. */
  roseG: 20,
  pumpGPerS: 0.4,
} as const;

export const PRESENCE_EVIDENCE = {
  /** A tray that is away for less is being looked at. */
  awayMs: 15 * MINUTE_MS,
  /** Less than this share of the dry tray on the scale: it is not there. */
  absentShare: 0.5,
  /** A mark so soon after it came back explains where it was. */
  markMs: 2 * HOUR_MS,
} as const;

export const STORY_LIMITS = {
  /** Restarts so near each other are one incident. */
  restartsMs: HOUR_MS,
  /** What has the same cause and is no further apart is one chain. */
  chainMs: 2 * HOUR_MS,
  /** As the guard has it for its alarm: a night lies between two warm days. */
  warmDaysMs: 18 * HOUR_MS,
  /** An alarm that comes so long after an incident may still be its doing. */
  alarmAfterMs: 3 * HOUR_MS,
  alarmBeforeMs: 40 * MINUTE_MS,
  /** A tray loses up to so many times what the scale saw running in: it was full before. */
  runsOutAgain: 2,
  /** What begins so much later than a cold spell is not what began it. */
  laterMs: 45 * MINUTE_MS,
  /** A probe that is well again jumps so soon after. */
  wellAgainMs: 15 * MINUTE_MS,
} as const;
