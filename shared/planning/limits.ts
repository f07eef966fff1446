/** What a plan may ask for, and the habits of the trade it is reckoned with. One place, each with its reason. */
import { PROFILE_LIMITS } from '../profile/limits';
import { DAY_S } from '../units/time';

export const PLAN_LIMITS = {
  /** Nobody buys seed for later than that; a slip in the year is found by it. */
  aheadMostDays: 730,
  /** With the spare ones, seed for as many can be reckoned. */
  plantsMost: 50_000,
  /** A plan of what began longer ago is history. */
  behindMostDays: 365,
  /** Cells of trays that are made: 24 to 512 (Ontario Ministry of Agriculture lists 24 to 288; 512 for flowers). */
  cellsLeast: 1,
  cellsMost: 600,
  /** With half of the plants lost on the way there is something to be put right first. */
  spareMost: 0.5,
  /** A room where people and plants are. */
  roomLeastC: 5,
  roomMostC: 40,
  /** Growth at less than half of the printed pace is beyond what a straight line can tell. */
  slowestPace: 0.5,
  /** And no room makes plants of a table grow faster than so much. */
  fastestPace: 1.5,
  /** Kept plans in one `plan check` or `agenda`. */
  plansMost: 50,
} as const;

/** Where nobody says otherwise. */
export const PLAN_DEFAULTS = {
  /** Germination on a packet of ordinary seed, and of cuttings that root (common practice). */
  germination: 0.85,
  /** Weak and bent ones that are not moved on (common practice). */
  spareShare: 0.05,
  certainty: 0.95,
  cellsPerTray: 98,
  /** What there is but one of needs no name. */
  mat: 'the mat',
  light: 'the light',
  /** Lamps over seedlings (common practice). */
  ppfdUmol: 200,
  /** A heated room of people, for what a mat must add (common practice). */
  roomC: 20,
  /** What a stock of A and B, 1:100 each, adds: labels say about this (common practice). */
  stock: { ratio: 100, gainMsCm: 2, parts: 2 },
} as const;

/** Days between the steps of a crop. Common practice where no source is named. */
export const STEPS = {
  /** Cleaning and calibrating before sowing: time to put right what is found. */
  cleanBeforeSowing: 2,
  /** Soaked wool drains overnight, and the mat warms it. */
  soakBeforeSowing: 1,
  /** Looking begins so much before the earliest day that a source gives. */
  lookBefore: 1,
  /** The lid is propped once all are green. */
  propAfterEmergence: 2,
  /** However slowly a crop grows: under a lid for longer, stems stay soft and damping-off finds them. */
  lidByDayAfterEmergenceMost: 14,
  /** Well within the week that seed feeds its seedling for. */
  feedAfterEmergence: 3,
  feedAfterEmergenceMost: PROFILE_LIMITS.firstFeedMaxS / DAY_S,
  /** First and last count: those that came first, and those that will still come. */
  countAfterEmergence: 3,
  countAgainAfterEmergence: 7,
  /** What is sown again later than that is another batch. */
  sowMoreWithin: 3,
  /** A feed in the light grows algae, and what plants leave of it is no more what was mixed. */
  feedChange: 7,
  washReservoir: 14,
  /** What is mixed so late is poured away. */
  noChangeBeforeReady: 3,
  /** Roots are left alone after transplanting. */
  rewaterAfterTransplant: PROFILE_LIMITS.transplantHoldMinS / DAY_S,
} as const;

/** A tray of 10 x 20 in, and the wool that fills it: that of the profiles, 98 plugs of 36 x 36 x 40 mm. */
export const TRAY = {
  areaM2: 0.129,
  /** The largest that are carried when wet, 40 x 60 cm (common practice). */
  areaMostM2: 0.24,
  woolMm2: 98 * 36 * 36,
  plugHighMm: 40,
  /** The widest piece that is sown in, mm. */
  plugWideMostMm: 150,
} as const;

/**
 * Water that leaves a tray of closed leaves in a day's light, mm for each mol of it on a square metre. All of the
 * light's energy turns into vapour at most: 2.45 MJ/kg (FAO-56); 1 MJ of light for plants is 4.57 mol (sunlight,
 * Thimijan and Heins 1983, HortScience 18:818). That alone is the low end, as under lamps that give little else;
 * the sun's heat goes with it at the high end, where 45 % of the energy is light for plants (common practice).
 */
const MM_PER_MOL = 1 / (4.57 * 2.45);
export const WATER_USE = {
  lowMmPerMol: MM_PER_MOL,
  highMmPerMol: MM_PER_MOL / 0.45,
  /** While the lid is on the tray, propped, or the leaves do not cover it (common practice). */
  underLidShare: 0.5,
  /** Light of a stage that nobody has published any for (Michigan State Univ., low light), mol/m2/d. */
  usualLightMol: 10,
} as const;
