/** Named limits of sensing, control and record, and why; those of the guard stand with it. */
import { SCALE_TRIM_CODES, SCALE_WINDOW_CODES } from '../shared/physics/bridge';
import { DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS } from '../shared/units/time';

export const SENSING_LIMITS = {
  /** Smoothing of the temperature: short against the minutes water takes, long against ADC noise. */
  probeSmoothingMs: 10_000,
  /** This many bad readings in a row make a fault; the mat drops at the first. */
  probeFaultTicks: 3,
  /** So many good ones in a row end it: a loose contact must not fill journal and flash. */
  probeSoundTicks: 60,
  /** A true probe never repeats its averaged code exactly for so long. */
  probeFrozenMs: 30 * MINUTE_MS,
  /** Codes closer than this count as the same. */
  probeFrozenCode: 0.001,
  /** Wet wool cannot move faster (check: a tray of 4 l warms 3 K/h on a strong mat). */
  probeStepK: 3,
  probeStepMs: 10_000,
  /** Within so many steps: a probe in still air takes most of a minute for two thirds of its way. */
  probeSteps: 9,
  probeSlewKPerMin: 2,
  /** How long the slew must last. */
  probeSlewMs: 2 * MINUTE_MS,
  /** Codes in the scale's window, one each tick. */
  scaleWindow: SCALE_WINDOW_CODES,
  /** Codes cut from each end of the sorted window before the mean. */
  scaleTrim: SCALE_TRIM_CODES,
  /** No code for so long: the scale is silent. */
  scaleSilentMs: 10_000,
  /** So soon after a start silence is no fault yet: the converter may have to settle first. */
  scaleStartsMs: 20_000,
  /** Saturated codes in a row that make a fault: one may be a spike. */
  scaleSaturatedTicks: 5,
  /** Spread of the trimmed window below which a weight is stable. */
  scaleStableG: 1,
  /**
   * Standard deviation of single codes up to which doses are weighed, by the mean of a window: that is true to a
   * third of it, 1 g, and a dose is 20 g at least. A scale that was noisier must become as quiet as this again.
   */
  scaleNoiseMaxG: 2.5,
  scaleQuietG: 2,
  /** A weight counts as settled when it has been stable for so long. */
  scaleSettleMs: 15_000,
  /** An even change is taken over so many ticks: twice the window. */
  scaleDriftTicks: 2 * SCALE_WINDOW_CODES,
  /** Trembling for so much longer than it stood still: no dose could be weighed. Longer than a hand on the tray. */
  scaleNoisyMs: 10 * MINUTE_MS,
} as const;

export const HEAT_LIMITS = {
  minOnMs: MINUTE_MS,
  minOffMs: MINUTE_MS,
  /** Lease asked for at each tick: survives two late ticks, far below the runtime's 10 s. */
  leaseMs: 4_000,
  /** While the mat is tried by hand: far from what the limiter allows the roots, above any room. */
  byHandBand: { lowC: 34, highC: 35 },
} as const;

export const WATER_LIMITS = {
  /** The need for water must last so long before a cycle starts: a breath is not dry-back. */
  needMs: 2 * MINUTE_MS,
  /** A weight that does not settle in this time gives up the cycle. */
  settleMaxMs: 10 * MINUTE_MS,
  /** Share of the dose's mass that must arrive, and may at most. */
  gainMinShare: 0.7,
  gainMaxShare: 1.3,
  /** A rise up to so much for each ml of a dose is the dose's, and no hand's. */
  riseMaxGPerMl: 3,
  /** A dose that has shown on the scale for so long has come: longer than its mean takes, in which a hand goes unnoticed. */
  shownMs: 10 * SECOND_MS,
  /** More of a dose that is gone again when it is weighed, as a share of it, has run off: what hangs in spouts is less. */
  ranOffShare: 0.06,
  /** The gain must also exceed this many standard deviations of the scale. */
  gainNoiseSigmas: 3,
  /** Lease asked for at each tick; the last one of a dose is exactly what is left. */
  leaseMs: 2_000,
  /** Shortest dose worth giving: below, the pump's start is most of it. */
  minDoseMs: 500,
  /** The last dose of a cycle is at least this share of a whole one: what is missing then, waits. */
  lastDoseMinShare: 0.5,
  /** Longest single run by the grower's hand. */
  serviceMaxMs: 120_000,
  /** A dose that ran out of a tray that is full, or may be: the next one waits until it has drained and told its capacity. */
  drainWaitMs: HOUR_MS,
  /** A tray may be full this far below what is thought its capacity, as a share of its water, and more by its plants. */
  fullShare: 0.02,
  /**
   * Doses in a row that could not be weighed (a hand before they came, a power cut, a scale that failed), or since one was
   * seen that ran off and were no proof: so many of a kind are called a fault.
   */
  unprovedMax: 2,
  /** Hours in the rolling day: the running one and the 24 before it, so no 24 h escape the cap. */
  dayHours: 25,
  /** Soak-in of a rescue dose, where no watering says otherwise. */
  rescueSoakInS: 300,
  /** Hold after a transplant that the profile does not speak of. */
  transplantHoldMs: 3 * DAY_MS,
} as const;

export const PUMP_TRIM_LIMITS = {
  /** A dose this many times the scale's noise weighs the pump to 2 %. */
  noiseTimes: 50,
  /** Of what a dose was off by, so much is believed: one dose in a draught is no worn tube. */
  learnShare: 0.3,
  stepMax: 0.05,
  /** The proof of a dose bounds what can be learnt at all (70 to 130 %). */
  least: 0.6,
  most: 1.4,
  /** So far off its calibration, or scattering so much from dose to dose, tube and feed are worth a look. */
  offShare: 0.15,
  scatterShare: 0.12,
  /** It is well again when it is nearer by so much. */
  backShare: 0.03,
} as const;

export const FEED_LIMITS = {
  /** Feed this close to what the stage wants is that feed: meters and mixing are no better, mS/cm and share. */
  sameEc: 0.15,
  sameShare: 0.15,
  /** A stage waits so long for other feed, then goes on with what there is. */
  graceMs: DAY_MS,
} as const;

export const GROWTH_LIMITS = {
  /** Two times at container capacity closer than this say little of growth. */
  leastMs: 3 * DAY_MS,
  /** More than this share of the water range between two of them is no growth: other pieces, or a wrong mark. */
  mostShare: 0.3,
  /** No tray drains twice to the same gram: so much less of its water is no loss, and no growth. */
  lessShare: 0.01,
  /** A pace that was weighed is never nothing, g. */
  leastG: 0.1,
  /** A pace goes on as it was, though plants grow faster as they grow: off by about so much. */
  weighedOffShare: 0.4,
  /** No plug carries more plant (98 plugs of 50 ml make transplants of 3 to 6 g, as on the bench). */
  usualMostGPerMl: 0.15,
  /**
   * Crops, rooms and trays are a quarter to twice the usual (`control/usual-plants.ts`), in rooms of 14 to 28 C and
   * with an emergence that nobody marked: it is a guess, and says so.
   */
  usualOffShare: 1,
  /** A mark comes days after emergence: what is up by then, as so many times what comes up. */
  unmarkedTimes: 2,
} as const;

export const DRAINAGE_LIMITS = {
  /** What runs out of a flooded tray halves in a few minutes; two such steps alike, and it has drained. */
  stepMs: 10 * MINUTE_MS,
  /** Alike, g: what still runs out then is less than that. */
  evenG: 1.5,
  /** Less may be a dose that ran past dry wool; four times what is even. */
  leastG: 8,
  /** Later it is another matter. */
  mostMs: 2 * HOUR_MS,
  /**
   * What goes by so much in so long, twice alike, and then by less than this share of it, has stopped at once, as a cloth
   * does that is taken off: what runs off goes by less and less.
   */
  stopMs: 3 * MINUTE_MS,
  stopLeastG: 12,
  stopShare: 0.25,
} as const;

export const WEIGHT_LIMITS = {
  /** A change this large between stable weights, without a dose, is a hand on the tray. */
  handlingG: 15,
  /** And one this large in a single step is no water that soaks, drains or drips. */
  jerkedStepG: 30,
  /** A move this large within so long, while a hand is on the tray, says that it still is. */
  restlessG: 3,
  restlessMs: 20_000,
  /** A weight that takes so long to become restless drifts: its pace is remembered. */
  driftMs: 10_000,
  /** A thing put on and taken off again weighs the same within this, g and as a share of it. */
  matchG: 10,
  matchShare: 0.03,
  /** Water above container capacity that wool, channels and matting may hold, as a share of its water. */
  overfillShare: 0.05,
  /**
   * More than so much above container capacity, as a share of its water, runs off within so long, or most of it: what
   * does not was no water. No nearer is a capacity known.
   */
  standsShare: 0.02,
  /**
   * What fills much of the wool is a soaking rather, and the capacity is what is wrong, unless more than this share of what
   * came stands above it: of things as large, few would leave a tray so nearly full.
   */
  soakingStandsShare: 0.13,
  /** Most water that came with a thing and ran off since, as a share of what the tray holds. */
  cameWithMostShare: 0.15,
  standsMs: HOUR_MS,
  /** Judged so late at the latest: from then on the tray's own drying tells. */
  standsLatestMs: 2 * HOUR_MS,
  /** "Most of it", as a share of what stood above capacity. */
  standsRunsOffShare: 0.5,
  /** What shrinks by so much so soon was water that drains, and no thing: a tray dries by a third of it. */
  drainedG: 15,
  drainedMs: 20 * MINUTE_MS,
  /** Faster than this from tick to tick no water runs out of a tray: half a litre too much runs out at 2 g/s. */
  jerkG: 5,
  /** What flows goes by no more than this for long. */
  flowsMostGPerS: 2,
  /** While the scale trembles a jerk is told from means over so long: what a hand does is weighed within two of them. */
  jerkMeanMs: 5_000,
  /** Most of a fall that hands may have made, as a share of what ran out meanwhile; of more it is theirs. */
  jerkedMostShare: 0.25,
  /** A weight that moves by less in a second stands, though hands shake it; one that is put on or taken off goes by more. */
  levelG: 100,
  /** A thing is put on or taken off sooner: what takes so long, and no jerk, flows. */
  flowsMs: MINUTE_MS,
  /**
   * A tray that comes back may have dried by so much beside the scale, as a share of its water: at once, for a cloth or
   * a tub; more for each hour, as bare wool does in a draught (8 mm a day); and by no more than this, or anything is it.
   */
  awayDriedShare: 0.15,
  awayDriedSharePerH: 0.03,
  awayDriedMostShare: 0.45,
  /** Heavier than any lid: so much that is missing, after so long in which nobody weighed the tray, is water or the tray. */
  lidMostG: 1_500,
  /**
   * And more than is taken off a tray whose lid stands on the frame round the scale (a row of plugs): where nobody weighed
   * it, that is water sooner.
   */
  goesMostG: 200,
  lostUnseenMs: 10 * MINUTE_MS,
  /** What came while nobody weighed the tray, and shows by nothing, is taken off again sooner: within a day. */
  hidesMs: DAY_MS,
  /**
   * A mat at rest is as warm as the tray on it, or colder by a third of what the room is, on a bare shelf. A tray that dried
   * for a day was warmer than its room by no more than a lamp makes it: one this much warmer than the mat is not on it, two
   * probes' 0.7 K included.
   */
  bareMatK: 2,
  /** What passed for water as it was found may weigh other than it seemed by so much of it: the tray dried, or got a dose. */
  foundWaterShare: 0.3,
  /** A scale that is well weighs a tray so soon after a start of the board. */
  firstWeightMs: 30_000,
  /** Most that a cloth over the rim, or a wide strip of matting, draws out of the wool: 0.25 g/s; common practice is 0.15. */
  drawnMostGPerH: 900,
  /** A tray that nobody weighed dries sooner than it gets water: a gain is so many times as hard to believe. */
  gainedUnseenTimes: 3,
  /** Open steps that are kept apart; fewer than a number has bits, for one tells over a start which of them were what. */
  ledgerMax: 6,
  /** A settled weight follows slow change in steps of this size: smaller ones are not worth a new state. */
  followG: 0.2,
  /** A scale that trembles is followed by its mean over so long: true to a gram at ten grams of noise. */
  noisyMeanMs: 5 * MINUTE_MS,
  /** A jump is told from its mean over so long: behind what a cloth draws that is by 5 g. */
  noisyNearMs: 20_000,
  /** It has moved when it did by more than so many standard deviations of it: it was found with as much. */
  noisyMeanSigmas: 4,
  /** And how fast that falls is told by so long: by then a tray has dried by more than its mean is off. */
  noisyPaceMs: HOUR_MS,
  /** And only when it has not jumped for so long: the window of its codes is past by then. */
  noisyJumpMs: MINUTE_MS,
  /** A jump is more than so many standard deviations of single codes, six of the weight itself. */
  noisyJumpSigmas: 2,
  /** Quiet for so long ends the handling. */
  quietMs: 2 * MINUTE_MS,
  /** Rise without a dose: above what temperature and creep do to a 10 kg cell in a day. */
  risingG: 20,
  /** Fall in ten minutes that no evaporation reaches. */
  fallingG: 40,
  fallingMs: 10 * MINUTE_MS,
  /** How fast a tray usually dries is told by so long: a leak or a flood that runs off is sooner over. */
  usualDryingMs: HOUR_MS,
  /** A freshly soaked tray drains: no fall is judged so soon after the mark. */
  drainMs: 2 * HOUR_MS,
  /** A mist is seen by so much: three times what a settled weight on a trembling platform is off by. */
  mistG: 1.5,
  /** A mist by hand on a full tray has run off sooner; a lid left off after it must not stay hidden for long. */
  mistDrainMs: HOUR_MS,
  /** Inflow is judged in steps of this length, after the weight has had so long to follow a dose. */
  inflowStepMs: 10_000,
  inflowSettleMs: 15_000,
  /** Rise of a step that counts: what is slower settles, and is judged as a rise (`risingG`). */
  inflowGPerS: 0.2,
  /** Even rise for so many steps is no watering can: three minutes. */
  inflowSteps: 18,
  /** A rise like the pump's own flow, worn tube included, is the pump's sooner: one minute. */
  stuckPumpSteps: 6,
  stuckPumpMinShare: 0.4,
  stuckPumpMaxShare: 1.3,
  /** More than this share of the dry tray missing: not the lid, the tray itself is off. */
  absentShare: 0.5,
} as const;

/** What the board believes of a weight the grower states, g. */
export const MARK_LIMITS = {
  trayMinG: 20,
  trayMaxG: 100_000,
  /** A profile's wool may be that much heavier than the wool at hand, as a share. */
  woolShare: 0.85,
  /** Tray and manifold beside wool and matting, g, and as a share of their water: more is water. */
  trayOwnG: 1_500,
  moistShare: 0.15,
  /** Water at container capacity above a dry weight that was weighed: less, and the tray was moist then, or is not soaked. */
  waterLeastShare: 0.5,
  /** Water at container capacity against what the profile's medium holds: the share depends on height. */
  capacityMostShare: 1.35,
  /** A tray that weighs less of wool and water than this share of what the profile says is not soaked, or lacks pieces. */
  capacityLeastShare: 0.85,
  /** A tray that lost or gained more than so much in ten minutes drains still, or water is drawn from it or runs in, g. */
  movesMostG: WEIGHT_LIMITS.fallingG,
  /**
   * It has lost no more in any ten minutes for so long: a cloth that has just ended leaves it still, and without what it drew.
   * A tray is left to drain for half an hour: of a flood of 150 g, as the bench has them, less runs off in the last of it.
   */
  movesMs: 20 * MINUTE_MS,
  /** Container capacity must exceed the dry weight by this: less is the same tray twice. */
  waterMinG: 20,
} as const;

export const BOOT_END_LIMITS = {
  /**
   * The answer to who asked for the end has left the board by then: the run state is written down before it, for which a
   * sector may have to be erased (45 ms, 400 ms at worst: W25Q data sheet); it takes 0.4 ms over USB and 15 ms over UART0.
   */
  answeredMs: 500,
} as const;

export const HANDS_LIMITS = {
  /** Hands move probes: what these do so long afterwards is theirs. */
  handsMs: 20 * MINUTE_MS,
  /** In two minutes the driest room takes less from a tray, and more runs out of one that was watered by hand. */
  stillG: 5,
  stillMin: 2,
} as const;

export const RECORD_LIMITS = {
  readingMs: 5 * MINUTE_MS,
  checkpointMs: 5 * MINUTE_MS,
  /** Dense record around an alarm: this step, this long before and after. */
  traceMs: 20_000,
  traceBefore: 30,
  /** Written in one tick, of those before: each takes 4 ms of it. */
  owedATick: 3,
  traceAfterMs: 10 * MINUTE_MS,
  /** At most one dense record in this time: a flood of alarms must not wear the flash. */
  traceEveryMs: 30 * MINUTE_MS,
  /** At most one fault of the link in this time: a laptop that asks on must not push out the journal. */
  faultEveryMs: HOUR_MS,
  /** Longest outage that a clock may tell: a laptop with a wrong date must not age a crop. */
  outageMaxMs: 7 * DAY_MS,
  /** A clock set that moves time by less is not worth an entry. */
  clockDriftMs: 2_000,
  scaleHistory: 4,
} as const;
