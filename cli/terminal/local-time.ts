/** Date and time of this place, as every screen writes it: `2026-03-01 14:30:05`. */
export function localTime(unixMs: number): string {
  const local = new Date(unixMs - new Date(unixMs).getTimezoneOffset() * 60_000);
  return local.toISOString().slice(0, 19).replace('T', ' ');
}
