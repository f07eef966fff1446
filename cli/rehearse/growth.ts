/** A crop that grew less than this beside plants that lacked nothing has lacked something. */
const GROWTH_SHARE = 0.9;

/** Whether plants that grew such a share of those that lacked nothing have lacked something. */
export const lacksGrowth = (share: number): boolean => share < GROWTH_SHARE;
