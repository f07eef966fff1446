/** Plans from what was typed or kept, and refusals in a grower's words. */
import { type Day, readDay } from '../../shared/planning/calendar-day';
import { type PlanTrouble, planBatch } from '../../shared/planning/plan';
import type { Happened, PlanRequest } from '../../shared/planning/request';
import { cropOf } from '../arguments/crop';
import type { Context } from '../context';
import { refused } from '../failure';
import { localTime } from '../terminal/local-time';
import type { ToldPlan } from '../words/told-plan';
import type { KeptPlan } from './plan-file';

/** The day it is here. */
export function todayOf({ world }: Context): Day {
  const today = readDay(localTime(world.now()).slice(0, 10));
  if (today === null) throw new Error('this laptop has no date');
  return today;
}

/** The plan; throws `CommandError` where there can be none. */
export function reckoned(
  name: string,
  request: PlanRequest,
  happened: Happened,
  today: Day,
): ToldPlan {
  const crop = cropOf(request.crop);
  const plan = planBatch(crop, request, happened, today);
  if (plan.ok)
    return { name, crop, request, happened, plan: plan.value, datedBy: null, leftOut: null };
  throw refused('cannot-plan', plan.why, NEXT[plan.trouble].replace('NAME', crop.name));
}

/** What to change. */
const NEXT: Readonly<Record<PlanTrouble, string>> = {
  crop: '`trayward crop show NAME` tells what is known of it; `trayward crop list` names the others.',
  cold: 'Give a warmer --room, or leave --unheated out where there is a mat.',
  warm: 'Give a cooler --room: a mat cannot cool.',
  date: 'Give a later --ready, or --sow with the day on which it can be sown.',
  far: 'Give a nearer day with --ready or --sow. Was the year meant?',
  order: 'If it was sown sooner, tell that too: --sown DATE.',
  numbers: 'Give other numbers: `trayward plan make --help` has their meaning.',
  light: 'Give --ppfd of a stronger lamp: `trayward light dli` reckons with it.',
};

/** A kept plan, after what has happened. */
export const reckonedKept = ({ name, request, happened, made }: KeptPlan): ToldPlan =>
  reckoned(name, request, happened, made);
