/** A line of what `npm run bench` prints. */
export interface Row {
  readonly what: string;
  readonly value: string;
  readonly goal: string;
}

export const row = (what: string, value: string, goal = '-'): Row => ({ what, value, goal });
