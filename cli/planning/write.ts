/** Where a plan goes: the store, a file of its own, a calendar. What is not of the same plan is left alone. */
import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { basename } from 'node:path';
import { decodeUtf8 } from '../../shared/bytes';
import { dayText } from '../../shared/planning/calendar-day';
import type { PlanRequest } from '../../shared/planning/request';
import type { Context } from '../context';
import { CommandError, refused } from '../failure';
import { writeOver } from '../files/atomic-write';
import { readBounded } from '../files/bounded-read';
import { tellingOf } from '../words/plan';
import { taskWords } from '../words/plan-task';
import type { ToldPlan } from '../words/told-plan';
import { calendarText, planOfCalendar, type TimeOfDay } from './calendar-file';
import {
  type KeptPlan,
  keepPlan,
  keptFile,
  keptNames,
  keptPlans,
  NAME,
  planText,
  readPlanFile,
} from './plan-file';

/** Years of a tray's tasks are a tenth of this. */
const CALENDAR_MAX_BYTES = 1_048_576;

/** Where a plan is to be written; null: not there. */
export interface Places {
  /** Name in the store. */
  readonly keep: string | null;
  readonly out: string | null;
  readonly ics: string | null;
  readonly store: string;
  /** Whatever is there is written over. */
  readonly force: boolean;
}

/** A name for what is in `file`: its own, as far as its letters may be in one. */
function nameOfFile(file: string): string {
  const letters = basename(file)
    .replace(/\.[^.]*$/, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, 40)
    .replace(/^-+|-+$/g, '');
  return NAME.test(letters) ? letters : 'plan';
}

/** The name of a plan: that it is kept by, else that of its file, else that of the crop. */
export const planName = ({ keep, out, ics }: Places, crop: string): string =>
  keep ?? nameOfFile(out ?? ics ?? crop);

/** The same for the same wish, so that a calendar knows it again even where its file is lost. */
const newId = (name: string, { crop, aim }: PlanRequest): string =>
  createHash('sha256')
    .update([name, crop, aim.by, dayText(aim.day)].join('\n'))
    .digest('hex')
    .slice(0, 16);

/**
 * What is at the places already and is of the same plan: it goes on with its id, one revision later. Throws `CommandError`
 * where something else is there, unless forced.
 */
export function continued(places: Places, fresh: Omit<KeptPlan, 'id' | 'revision'>): KeptPlan {
  const { crop } = fresh.request;
  const before = keptBefore(places);
  if (before !== null && !places.force) {
    if (before.request.crop !== crop)
      throw strange(before.name, `a plan for ${before.request.crop}`);
    if (before.happened.sown !== null) {
      throw refused(
        'under-way',
        `The batch "${before.name}" was sown on ${dayText(before.happened.sown)}: planned anew, that would be forgotten.`,
        '`trayward plan update` tells it what happened; another name keeps another plan; --force forgets.',
      );
    }
  }
  const calendar = before === null ? calendarBefore(places) : null;
  if (calendar !== null && calendar.crop !== crop && !places.force) {
    throw strange(places.ics ?? '', `the calendar of a plan for ${calendar.crop}`);
  }
  const id =
    before?.id ?? (calendar?.crop === crop ? calendar.id : newId(fresh.name, fresh.request));
  if (before === null && !places.force) refuseTasksOfKept(places, id);
  return {
    ...fresh,
    id,
    controller: fresh.controller ?? before?.controller ?? null,
    revision: before === null ? 0 : before.revision + 1,
  };
}

/** A kept plan's tasks are known to calendars by its id: another plan must not move them. */
function refuseTasksOfKept({ ics, store }: Places, id: string): void {
  const owner = ics === null ? null : keptPlans(store).find((kept) => kept.id === id);
  if (ics === null || !owner) return;
  throw refused(
    'another-plan',
    `The tasks in ${ics} would be those of the kept plan "${owner.name}", which has gone its own way since.`,
    `\`trayward plan show ${owner.name} --ics ${ics}\` writes its calendar; --keep ${owner.name} plans it anew; another file has tasks of its own.`,
  );
}

const strange = (what: string, is: string): CommandError =>
  refused(
    'another-plan',
    `${what} is ${is}, and was left as it is.`,
    'Give another name, or --force to write over it.',
  );

function keptBefore({ keep, out, store, force }: Places): KeptPlan | null {
  const kept = keep !== null && keptNames(store).includes(keep) ? keptFile(store, keep) : null;
  const file = kept ?? (out !== null && existsSync(out) ? out : null);
  if (file === null) return null;
  try {
    return readPlanFile(file);
  } catch (error) {
    if (force) return null;
    if (!(error instanceof CommandError) || error.reason !== 'plan-invalid') throw error;
    throw strange(file, 'no plan of this program');
  }
}

/** The calendar that is there, where no kept plan is written in it: it is then all that is left of the plan. */
function calendarBefore({ ics, store }: Places): ReturnType<typeof planOfCalendar> {
  const found = ics === null ? null : planOfCalendar(calendarThere(ics) ?? '');
  return found === null || keptPlans(store).some(({ id }) => id === found.id) ? null : found;
}

const calendarThere = (file: string): string | null =>
  existsSync(file) ? decodeUtf8(readBounded(file, CALENDAR_MAX_BYTES, 'a calendar')) : null;

/** Writes a calendar of the plan. Throws where another plan's, or something else, is there and `force` is false. */
export function writeCalendar(
  context: Context,
  file: string,
  kept: KeptPlan,
  told: ToldPlan,
  time: TimeOfDay,
  force: boolean,
): void {
  const there = calendarThere(file);
  const of = there === null ? null : planOfCalendar(there);
  if (there !== null && of?.id !== kept.id && !force) {
    throw strange(
      file,
      of === null ? 'no calendar of this program' : `the calendar of another plan, for ${of.crop}`,
    );
  }
  const telling = tellingOf(told, context.units);
  const tasks = told.plan.tasks.map((task) => {
    const { title, why } = taskWords(telling, task);
    return { task, title: `${told.name}: ${title}`, text: `${why}.` };
  });
  const plan = {
    ...{ id: kept.id, crop: told.crop.name, title: `Trayward ${told.name}` },
    ...{ revision: kept.revision, tasks, time },
  };
  writeOver(file, calendarText(plan, context.world.now(), of?.id === kept.id ? there : null));
}

/** Writes the plan to all its places; what cannot be written to is found before anything is. */
export function writePlan(
  context: Context,
  places: Places,
  kept: KeptPlan,
  told: ToldPlan,
  time: TimeOfDay,
): { kept: string | null; out: string | null; ics: string | null } {
  const { keep, out, ics, store, force } = places;
  if (ics !== null) writeCalendar(context, ics, kept, told, time, force);
  const file = keep === null ? null : keepPlan(store, kept);
  if (out !== null) writeOver(out, planText(kept));
  return { kept: file, out, ics };
}
