/** How growers differ: how often they come, how soon they do what the tray asks, what they forget. */

/** One way of looking after a tray. */
export interface Habits {
  readonly name: string;
  /** Days between two visits. */
  readonly everyDays: number;
  /** Days that the mark `emerged` comes after emergence was seen; Infinity: it is forgotten. */
  readonly emergedLateDays: number;
  /** Days that the first refill comes after the tray has asked for it; the later ones come at once. */
  readonly firstRefillLateDays: number;
}

export const HABITS = {
  daily: { name: 'daily', everyDays: 1, emergedLateDays: 0, firstRefillLateDays: 0 },
  third: { name: 'every third day', everyDays: 3, emergedLateDays: 0, firstRefillLateDays: 0 },
  forgetful: {
    name: 'forgets the mark',
    everyDays: 1,
    emergedLateDays: Number.POSITIVE_INFINITY,
    firstRefillLateDays: 0,
  },
  late: { name: 'late', everyDays: 1, emergedLateDays: 2, firstRefillLateDays: 3 },
} as const satisfies Record<string, Habits>;

export type HabitName = keyof typeof HABITS;
export const HABIT_NAMES = Object.keys(HABITS) as readonly HabitName[];
