/** Tables of a rehearsal's page: stages, feed day by day, and every dose. Pure. */
import { type GivenDose, IN_BAND_K } from '../../firmware/bench/season/rehearsal';
import { formatQuantity } from '../../shared/units';
import type { Table } from '../report/model';
import { capitalised } from '../words/capitalised';
import { type Span, spanOf } from './summary';
import type { Rehearsed } from './tasks';
import { amount, STAGE_COLUMNS, spanText, stageRows } from './words';

export const stageTable = ({ summary, profile, units }: Rehearsed): Table => ({
  title: 'Stages',
  note: `Days are since sowing. In its band is a root zone within ${formatQuantity('temperature-difference', IN_BAND_K, units)} of it; roots are its coldest and its warmest in all rehearsals. The first half day of a stage, in which the tray warms up, is left out.`,
  columns: STAGE_COLUMNS.map((column) => ({
    title: capitalised(column.title),
    isNumber: 'align' in column,
  })),
  rows: stageRows(summary, profile, units),
});

const count = (span: Span): string => spanText(span, (value) => value.toFixed(0));

/** What each day of all rehearsals that go on to its end takes, where any of them is fed on it. */
export function feedTable({ all, units }: Rehearsed): Table {
  const volume = amount('volume', units);
  const wholeDays = Math.max(...all.map(({ days }) => Math.floor(days)));
  const rows = Array.from({ length: wholeDays }, (_, day): readonly string[][] => {
    const runs = all
      .filter(({ days }) => days >= day + 1)
      .map(({ doses }) => doses.filter((dose) => Math.floor(dose.day) === day));
    const doses = spanOf(runs.map(({ length }) => length));
    const ml = spanOf(runs.map(sumOf));
    if (doses === null || ml === null || doses.most === 0) return [];
    const fed = runs.filter(({ length }) => length > 0).length;
    return [[`${day}`, `${fed} of ${runs.length}`, count(doses), spanText(ml, volume)]];
  });
  return {
    title: 'Feed by the day',
    note: 'Days on which any rehearsal is fed; the others take none. Day 7 goes from 168 to 192 hours after sowing.',
    columns: ['Day', 'Rehearsals fed', 'Doses', 'Feed'].map((title, i) => ({
      title,
      isNumber: i > 0,
    })),
    rows: rows.flat(),
  };
}

const sumOf = (doses: readonly GivenDose[]): number => doses.reduce((sum, { ml }) => sum + ml, 0);

/** The first dose of each rehearsal, then the second. */
export function doseTable({ all, profile, units }: Rehearsed): Table {
  const most = Math.max(0, ...all.map(({ doses }) => doses.length));
  const rows = Array.from({ length: most }, (_, i): readonly string[][] => {
    const doses = all.flatMap((one) => one.doses[i] ?? []);
    const day = spanOf(doses.map((dose) => dose.day));
    const ml = spanOf(doses.map((dose) => dose.ml));
    const stages = [...new Set(doses.map(({ stage }) => profile.stages[stage]?.name ?? ''))];
    if (day === null || ml === null) return [];
    return [
      [
        `${i + 1}`,
        spanText(day, (value) => value.toFixed(1)),
        stages.join(', '),
        spanText(ml, amount('volume', units)),
        `${doses.length} of ${all.length}`,
      ],
    ];
  });
  return {
    title: 'Every dose',
    note: 'The first dose of each rehearsal, then the second: from the earliest day to the latest.',
    columns: ['Dose', 'Day', 'Stage', 'Feed', 'Rehearsals'].map((title, i) => ({
      title,
      isNumber: i !== 2,
    })),
    rows: rows.flat(),
  };
}
