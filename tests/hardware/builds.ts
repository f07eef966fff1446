/** The build that the budgets are asked about, and what is said of it. */

import { TRAYS } from '../../hardware/budget/trays';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { hardwareReport } from '../../hardware/verdicts/report';
import type { ReportInput } from '../../hardware/verdicts/verdict';

export const tray = (name: string) => {
  const found = TRAYS.find((format) => format.name === name);
  if (found === undefined) throw new Error(`no tray ${name}`);
  return found;
};

const base: ReportInput = {
  tray: tray('flat-98'),
  cellG: 10_000,
  cellMvPerV: 1,
  matWM2: 120,
  railV: 24,
  roomC: 18,
  roomMaxC: 24,
  bandHighC: 26,
  reservoirMl: null,
  dripTrayMl: null,
  probe: null,
  units: 'metric',
};

export const report = (change: Partial<ReportInput> = {}) => {
  const made = hardwareReport(CIRCUIT, { ...base, ...change });
  if (made === null) throw new Error('no report');
  return made;
};

export const verdict = (about: string, change: Partial<ReportInput> = {}) =>
  report(change).verdicts.find((entry) => entry.about === about);
