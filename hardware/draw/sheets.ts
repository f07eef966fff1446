/** The schematic sheets in order. What is joined comes from the netlist. */
import type { SheetPlan } from './schematic';
import { matSupply, pumpSupply } from './sheet-feed';
import { controller, outputs, supply } from './sheets-power';
import { probes, scaleAndSounder } from './sheets-signal';

export const SHEETS: readonly SheetPlan[] = [
  supply,
  controller,
  outputs,
  probes,
  scaleAndSounder,
  matSupply,
  pumpSupply,
];
