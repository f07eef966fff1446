/** What the guard holds to: from when on something is an alarm, and for how long it must be so. */
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';

export const GUARD_LIMITS = {
  /** The second switch is open 0.8 s after its last toggle at the latest; twice that, and the ticks themselves. */
  supplyTicks: 3,
  /** Nothing the board serves wants a warmer root zone. */
  rootZoneHotC: 38,
  /** Below the runtime's own 55 C, so that the firmware speaks first. */
  matHotC: 50,
  /**
   * A mat whose probe has read this was as hot as opens its cut-out: TC1 opens between 63 C and the 73 C that it is rated
   * (Tf; the batch test of `hardware/BUILD.md`), and a probe at the mat lags the link's body by some kelvin (common practice).
   */
  cutOutC: 60,
  hotHysteresisK: 1,
  /** Heat from the mat must last so long: a fresh tray on a warm mat is like it by then; wet wool warms 3 K/h. */
  hotByMatMs: 5 * MINUTE_MS,
  /**
   * A mat under a tray is never colder than the root zone by so much: its probe lies elsewhere. Nor warmer once it has
   * rested: the root zone's does.
   */
  matApartK: 3,
  /** Or, near what the crop bears, by what is left to that; two probes are no nearer to each other than this. */
  matApartLeastK: 2,
  /**
   * A mat that rests is as warm as its tray where it falls by no more than so much in so long: a kelvin is left then at
   * most of what its heat made it warmer by, on a wire rack too (a time constant of 14 min; flat 1, on ribs 8). A root zone
   * that cools by 3 K/h lets it end all the same, and the last of these does in any case.
   */
  matFallsK: 0.4,
  matFallsMs: 5 * MINUTE_MS,
  matRestMostMs: HOUR_MS,
  /** It heats for so long between two rests. */
  matRestAgainMs: 40 * MINUTE_MS,
  /** On for so long, it is warmer than the root zone by all that its own heat makes. */
  matOwnMs: 30 * MINUTE_MS,
  effectMs: 30 * MINUTE_MS,
  effectRiseK: 0.3,
  /** A mat warmer than the root zone by this gives heat; a dead one lies between root zone and room. */
  warmMatK: 0.5,
  /** One that has been this much warmer has shown that it heats: when it no longer is, it has died since. */
  shownMatK: 1,
  /** Mat this much warmer than a root zone that does not warm: the probe is not in the root zone. */
  suspectMatK: 10,
  reachMs: 3 * HOUR_MS,
  reachLevelK: 0.2,
  /** So near the band it is as good as reached: a probe is no truer. */
  reachShortK: 0.5,
  stuckMs: 15 * MINUTE_MS,
  /** Little, because a mat near what the room lets it reach warms slowly; above the probe's noise. */
  stuckRiseK: 0.1,
  /**
   * A mat that heats is warmer than the root zone by at least this, and by this share of what it was
   * while it was on. In a room warmer than the wet wool heat comes through the mat as well, but less.
   */
  stuckWarmK: 1,
  stuckWarmShare: 0.6,
  /** So many minutes in a row: a lid or tray just put back is over by then. */
  stuckMinutes: 3,
  /** A mat that was found cut off and not looked at for so long, since no heat was asked for, may have been mended. */
  matUnlookedMs: DAY_MS,
  /** After so long on, what the mat is warmer by is what its heat makes. */
  warmedMs: 10 * MINUTE_MS,
  /** A room that will not let the band be reached, by the forecast: this far short of it. */
  forecastShortK: 2,
  /** Fall of the root zone's rise that a forecast needs: less, and its noise decides. */
  forecastRiseK: 0.2,
  /** Root zone this far outside its band, so long, and not coming back by so much in an hour. */
  bandBeyondK: 2,
  bandBackK: 1,
  bandTrendK: 0.3,
  tooColdMs: HOUR_MS,
  /** Longer: an hour of sun on the tray is an ordinary day. */
  tooWarmMs: 2 * HOUR_MS,
  /** Sooner above what the profile calls the most this crop bears. */
  tooHotMs: 15 * MINUTE_MS,
  /**
   * A room too warm by day is one happening, not one a day: an alarm that comes again within a day stands until
   * the root zone has been back for longer than a night (an off-delay, ISA-18.2).
   */
  bandAgainMs: DAY_MS,
  bandNightMs: 18 * HOUR_MS,
  trayOffMs: HOUR_MS,
  thingOnMs: 30 * MINUTE_MS,
  /** What began so shortly before hands came was theirs as well. */
  handsBeforeMs: 3 * MINUTE_MS,
  /** A reason that is no alarm may hold water off so long in a stage that waters. */
  waterHeldMs: 12 * HOUR_MS,
  /** One that was an alarm before a restart is one again so soon: after the first weights, and while it is no news. */
  heldAgainMs: 4 * MINUTE_MS,
  /** Weights may be unknown so long in a hold: a transplanted tray drains, then it is marked. */
  weightsUnknownMs: 12 * HOUR_MS,
  /** And so long in a stage that waters: what was moved on or split is soaked, and drains before it is marked. */
  weightsDrainMs: 2 * HOUR_MS,
  /** A stage opens with feed so long after its latest time at most: quiet hours are over by then. */
  feedLateMs: 12 * HOUR_MS,
  /** Faults restarting the board this often in an hour stop it for good. */
  restartsPerHour: 3,
  restartWindowMs: HOUR_MS,
  /** Dryness must last so long to be an alarm. */
  tooDryMs: 10 * MINUTE_MS,
  tooDryHysteresisShare: 0.03,
  /** Reservoir counts as nearly empty below this share of its size. */
  reservoirLowShare: 0.1,
  /** Or when it holds no more than so many doses: a small tank tells in time, too. */
  reservoirLowDoses: 2,
  scaleCalibrationMaxMs: 180 * DAY_MS,
  shelveMaxS: 86_400,
  /** What is found so soon after a start was there before it: most conditions are judged within a minute. */
  recallMs: 5 * MINUTE_MS,
} as const;

export const DRYING_LIMITS = {
  /**
   * The rate is taken over so long: at 3 g/h it is eight times the noise of a settled weight, and with the minutes
   * a tray takes to settle from a hand a lid left off is told within half an hour.
   */
  spanMs: 25 * MINUTE_MS,
  /**
   * It is too fast for a lid when it is so in each part of the span of so many minutes, by this share of the limit:
   * an airing of a quarter of an hour is fast in some of them alone, and may move no weight that tells of hands.
   */
  steadyMin: 5,
  steadyShare: 0.5,
  /**
   * No slower rate is too fast, g/h, by where the lid should be. Some 0.13 m2 of plugs lose 0.12 g/h under
   * the closed lid, 0.8 with open vents, 1.8 loose, 4.3 propped, 15 without (the bench's table); a canopy
   * in the light several times that, so that later places are for leaks alone.
   */
  leastGPerH: {
    closed: 3,
    'vents-open': 6,
    loose: 40,
    propped: 60,
    'off-by-day': 90,
    off: 90,
  },
  /** And none that is not so many times the usual one. */
  usualTimes: 5,
  /**
   * Sun through a window, 400 W/m2, dries a tray under its lid by so much more, g/h (9 to 13 closed, 15 with open vents,
   * on the bench).
   */
  sunGPerH: 12,
  /**
   * Where it comes in, the root zone rises by so much more in so many minutes than in those before, the mat on or off in
   * all of them: 3 to 4 K/h, which no lamp does; or by so much in all of them with the mat off, as no room warms a tray.
   * Through a window it stays for so long at most.
   */
  sunMin: 5,
  sunSoonerK: 0.15,
  sunMostMin: 3 * 60,
  /** The alarm goes at this share of its limit. */
  backShare: 0.7,
  /** Share of each minute in what is usual: a memory of half a day. */
  learnShare: 1 / 720,
  /** Minutes after which it is known: a night is in it. */
  knownMin: 12 * 60,
  /**
   * A tray has stopped drying when in so many minutes, lamps on and off, it loses no more than this, g, or this
   * share of what is usual: the slowest night under a loose lid still takes several times that. Only where the
   * usual rate is more than a closed lid's or open vents'.
   */
  stoppedMin: 18 * 60,
  stoppedG: 2,
  stoppedShare: 0.05,
  stoppedUsualGPerH: 1.5,
} as const;
