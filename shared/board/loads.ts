/** What the nodes of the sense line stand at with mat, fuse and switch as they are. Pure. */
import { belowPinOhm, LOADS_SENSE, type LoadNodes, type SenseOhms } from './map';

/** The mat's current path. `lead` is all that can open between fuse and switch: plug, cut-out, the mat itself. */
export interface MatPath {
  readonly fuse: 'whole' | 'blown';
  readonly lead: 'whole' | 'open';
  readonly switchClosed: boolean;
}

/**
 * Nodes, V, with `feedV` behind the mat's second switch: 0 with that open, and none in the feed of the pump. A mat is a
 * wire beside the resistors (its 240 ohm at most against 10 k), and so is a closed switch. `leakageA` flows into the low
 * side, out of diode and switch.
 */
export function loadNodes(
  feedV: number,
  { fuse, lead, switchClosed }: MatPath,
  ohms: SenseOhms = LOADS_SENSE,
  leakageA = 0,
): LoadNodes {
  const { matSupplyOhm, matFeedOhm, matLowOhm, pumpFeedOhm, seriesOhm } = ohms;
  const { matLowUpOhm, matLowDownOhm } = ohms;
  const fed = 1 / matSupplyOhm + (fuse === 'whole' ? 1 / matFeedOhm : 0);
  const downSiemens = 1 / (seriesOhm + belowPinOhm(ohms)) + 1 / pumpFeedOhm;
  if (fuse === 'whole' && lead === 'whole') {
    return {
      matSupplyV: feedV,
      matFeedV: feedV,
      matLowV: switchClosed ? 0 : feedV,
      pumpFeedV: 0,
    };
  }
  // The low side hangs on the sum by its own resistor, and through the mat by that of a feed whose fuse is blown.
  const hung = 1 / matLowOhm + (fuse === 'blown' && lead === 'whole' ? 1 / matFeedOhm : 0);
  const lowSiemens = 1 / matLowUpOhm + 1 / matLowDownOhm + hung;
  const pulledA = feedV / matLowUpOhm + leakageA;
  const sumV = switchClosed
    ? (fed * feedV) / (fed + hung + downSiemens)
    : (fed * feedV + (hung * pulledA) / lowSiemens) /
      (fed + hung + downSiemens - hung ** 2 / lowSiemens);
  const matLowV = switchClosed ? 0 : (pulledA + hung * sumV) / lowSiemens;
  // Cut off from feed and mat, the node behind the fuse has no current, and takes on the sum's voltage.
  const cutOffV = lead === 'whole' ? matLowV : sumV;
  return {
    matSupplyV: feedV,
    matFeedV: fuse === 'whole' ? feedV : cutOffV,
    matLowV,
    pumpFeedV: 0,
  };
}
