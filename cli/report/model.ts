/** What a report says, as plain data; `page/` makes a page of it. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { UnitSystem } from '../../shared/units';
import type { ToldIncident } from '../explain/account';
import type { Course } from './course';
import type { Plot } from './plot/model';

/** A sentence, and the place in the page that tells more. */
export interface Line {
  readonly says: string;
  readonly id: string | null;
}

/** What the journal says against leaving the tray alone. Whether the tray may be left it cannot know. */
export type Leave = 'not-yet' | 'look-first' | 'nothing-against' | 'not-sown';

/** The four questions of whoever comes back. */
export interface Answers {
  readonly happened: readonly Line[];
  readonly plants: readonly Line[];
  readonly next: readonly Line[];
  readonly leave: Leave;
  readonly leaveWhy: readonly Line[];
}

/** A table; a column of numbers stands at the right. */
export interface Table {
  readonly title: string;
  /** What is counted, and how; empty: nothing to say. */
  readonly note: string;
  readonly columns: readonly { readonly title: string; readonly isNumber: boolean }[];
  readonly rows: readonly (readonly string[])[];
  /** Drawn above the table, where it has one. */
  readonly curve?: readonly CurvePoint[];
}

/** A count on its day from sowing, as a share of the seed. */
export interface CurvePoint {
  readonly day: number;
  readonly share: number;
  readonly label: string;
}

/** Every time that an alarm stood, with its words. */
export interface AlarmStory {
  readonly alarm: AlarmName;
  readonly standing: boolean;
  readonly times: readonly string[];
}

export interface Report {
  readonly title: string;
  readonly crop: string | null;
  readonly boardId: string;
  readonly units: UnitSystem;
  /** From when to when, in words. */
  readonly period: string;
  /** When the page was made, and by which journal: in words. */
  readonly made: string;
  readonly answers: Answers;
  readonly plot: Plot;
  /** Of the crop that was sown last; null where none was. */
  readonly course: Course | null;
  readonly incidents: readonly ToldIncident[];
  readonly alarms: readonly AlarmStory[];
  readonly tables: readonly Table[];
  /** What the journal cannot tell. */
  readonly unknown: readonly string[];
}
