/** Hours of the day that may pass midnight. Pure. */

/** Whether minute `min` of the day (0..1439) lies in the window; its end is not part of it. */
export function inDayWindow(startMin: number, endMin: number, min: number): boolean {
  return startMin <= endMin ? min >= startMin && min < endMin : min >= startMin || min < endMin;
}
