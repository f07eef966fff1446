/** What a forecast goes by. Where no source is named: learnt on the bench, on even seeds of `npm run bench -- away`. */
const DAY_H = 24;

export const FORECAST_LIMITS = {
  /** Days that tell how much the tray loses. */
  pastDays: 7,
  shapeDays: 3,
  /** Hours of a day that must have been seen, for its sum and for the shape of days. */
  dayHoursLeast: 2,
  shapeHoursLeast: 20,
  /** Slower, and the scale's noise has more of a shape than the air, g/h. */
  shapeLeastGPerH: 1,
  /**
   * A lid was moved where so many hours in a row differ from those of the day before by so much, ln and g/h; looked for
   * so far back.
   */
  movedHours: 3,
  movedLn: 0.3,
  movedGPerH: 1,
  movedPastH: 3 * DAY_H,
  /** A day's loss scatters by so much, ln; one that was not seen at all would be known to so much. */
  scatterLn: 0.05,
  unseenLn: 0.4,
  /** And a tray becomes another one in a day by so much. */
  walkLn: 0.025,
  /** Plants keep some of what they drink, which the scale does not see go. */
  grownLn: 0.04,
  /** Loss under a lid before anything was seen of this tray is off by so much, ln. */
  unknownLn: 0.8,
  /** Hands so shortly before may have moved the lid without the weight telling yet. */
  handsH: 12,
  /** A pump draws so much more or less than its account, share (its doses are weighed; its calibration is good to this). */
  pumpShare: 0.03,
  /** A first dose comes so much sooner, by the noise of a weight, or later, by its weighing and soaking in, h. */
  doseSoonerH: 0.25,
  doseLaterH: 0.5,
  /** Growth of the loss, per day, before anything was seen of it; and the days after which it slows down. */
  trendMean: 0,
  trendSd: 0.01,
  dampDays: 10,
  /** A tray that loses less a day loses nothing that lasts, g. */
  leastGPerDay: 0.5,
  /** No further ahead: plants and rooms become others. */
  horizonH: 30 * DAY_H,
} as const;
