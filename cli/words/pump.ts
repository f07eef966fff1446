/** What the doses say of the pump, in a grower's words. */

/** Less is the scale's own doubt of a dose. */
const TOLD_SHARE = 0.05;
const TOLD_SCATTER = 0.08;

/**
 * How far the pump has moved from its calibration, and how even its doses are; null while there is nothing to
 * tell. `share`: what it gives, as a share of its calibration; `scatter`: by how much a dose is usually off that.
 */
export function pumpText(share: number, scatter: number): string | null {
  const percent = Math.round(Math.abs(share - 1) * 100);
  const moved = Math.abs(share - 1) >= TOLD_SHARE;
  const uneven = scatter >= TOLD_SCATTER;
  if (!moved && !uneven) return null;
  const gives = moved
    ? `gives ${percent} % ${share < 1 ? 'less' : 'more'} than calibrated`
    : 'gives what it was calibrated to';
  const differ = `doses differ by ${Math.round(scatter * 100)} %`;
  if (uneven) return `${gives}, ${differ}: air in the tube?`;
  return share < 1
    ? `${gives}: tube worn, or squeezed?`
    : `${gives}: another tube, or a fuller reservoir?`;
}
