/** Kept plans: what was asked, and what has happened since. What follows from it is reckoned anew each time. */
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { parse, stringify } from 'yaml';
import * as z from 'zod';
import { decodeUtf8 } from '../../shared/bytes';
import { PIECE_LIMITS, type PieceSize } from '../../shared/physics/soak';
import { type Day, dayText, readDay } from '../../shared/planning/calendar-day';
import { PLAN_LIMITS } from '../../shared/planning/limits';
import type { Happened, PlanRequest } from '../../shared/planning/request';
import { didYouMean } from '../../shared/text/nearest';
import { CONTROLLER_ID } from '../arguments/controller';
import { invalid, refused } from '../failure';
import { writeOver } from '../files/atomic-write';
import { readBounded } from '../files/bounded-read';
import { makeFolder } from '../files/folder';

/** As all files of plans begin. Counted up when an older program could misread them. */
const VERSION = 1;
/** A plan is a fiftieth of this. */
const FILE_MAX_BYTES = 65_536;
const EXTENSION = '.yaml';
/** Letters and digits of ASCII, so that every disk and calendar takes it. */
export const NAME = /^[a-z0-9]([a-z0-9-]{0,38}[a-z0-9])?$/;
export const NAME_RULE =
  'A name has small letters, digits and hyphens, 40 at most, such as pepper-north.';

const day = z.string().transform((text, context): number => {
  const read = readDay(text);
  if (read !== null) return read;
  context.addIssue({ code: 'custom', message: `"${text}" is no day of the calendar.` });
  return z.NEVER;
});
const share = z.number().min(0).max(1);
const roomC = z.number().min(PLAN_LIMITS.roomLeastC).max(PLAN_LIMITS.roomMostC);
const side = z.number().min(PIECE_LIMITS.sideLeastMm).max(PIECE_LIMITS.blockMostMm);
const place = z.string().min(1).max(40);

const planFile = z.strictObject({
  'trayward-plan': z.literal(VERSION),
  id: z.string().regex(CONTROLLER_ID),
  name: z.string().regex(NAME),
  /** Counted up by each change, for calendars. */
  revision: z.int().min(0),
  /** The day it was asked for: what it was late or early by is seen from there. */
  made: day,
  /** Board that the batch is on, by its id; null where nobody said so. */
  controller: z
    .string()
    .regex(/^[0-9a-f]{1,32}$/)
    .nullable(),
  crop: z.string().min(1),
  aim: z.strictObject({ by: z.enum(['ready', 'sow']), day }),
  plants: z.int().min(1).max(PLAN_LIMITS.plantsMost),
  germination: share.nullable(),
  spare: z.number().min(0).max(PLAN_LIMITS.spareMost),
  certainty: share,
  room: z.strictObject({ night_c: roomC, day_c: roomC }).nullable(),
  mat: place.nullable(),
  light: place,
  cells_per_tray: z.int().min(PLAN_LIMITS.cellsLeast).max(PLAN_LIMITS.cellsMost),
  /** Plans that were kept before plugs were asked have none. */
  plug_mm: z.tuple([side, side, side]).nullable().default(null),
  ppfd_umol: z.number().positive(),
  stock: z.strictObject({
    ratio: z.number().positive(),
    gain_ms_cm: z.number().positive(),
    parts: z.union([z.literal(1), z.literal(2)]),
  }),
  happened: z.strictObject({
    sown: day.nullable(),
    emerged: day.nullable(),
    counted: z
      .strictObject({
        day,
        plants: z.int().min(0),
        /** Plans that were kept before it was asked have none. */
        of: z.int().min(1).nullable().default(null),
      })
      .nullable(),
    transplanted: day.nullable(),
  }),
});

export interface KeptPlan {
  readonly id: string;
  readonly name: string;
  readonly revision: number;
  /** The day it was asked for. */
  readonly made: Day;
  readonly controller: string | null;
  readonly request: PlanRequest;
  readonly happened: Happened;
}

/** As it is written, days and all. */
function asFile({ request, happened, ...kept }: KeptPlan): z.input<typeof planFile> {
  const orDay = (one: number | null): string | null => (one === null ? null : dayText(one));
  const { counted } = happened;
  return {
    'trayward-plan': VERSION,
    ...kept,
    made: dayText(kept.made),
    crop: request.crop,
    aim: { by: request.aim.by, day: dayText(request.aim.day) },
    plants: request.plants,
    germination: request.germination,
    spare: request.spareShare,
    certainty: request.certainty,
    room: request.room === null ? null : { night_c: request.room.nightC, day_c: request.room.dayC },
    mat: request.mat,
    light: request.light,
    cells_per_tray: request.cellsPerTray,
    plug_mm:
      request.plug === null
        ? null
        : [request.plug.lengthMm, request.plug.widthMm, request.plug.heightMm],
    ppfd_umol: request.ppfdUmol,
    stock: {
      ratio: request.stock.ratio,
      gain_ms_cm: request.stock.gainMsCm,
      parts: request.stock.parts,
    },
    happened: {
      sown: orDay(happened.sown),
      emerged: orDay(happened.emerged),
      counted: counted === null ? null : { ...counted, day: dayText(counted.day) },
      transplanted: orDay(happened.transplanted),
    },
  };
}

/** The text of a plan's file. */
export const planText = (kept: KeptPlan): string => stringify(asFile(kept));

/** A plan from the text of its file. Throws `CommandError` with the place in `file` that is not as it should be. */
export function readPlanText(text: string, file: string): KeptPlan {
  const read = planFile.safeParse(parsed(text));
  if (!read.success) {
    const [issue] = read.error.issues;
    const at = issue === undefined || issue.path.length === 0 ? '' : ` at ${issue.path.join('.')}`;
    throw invalid(
      'plan-invalid',
      `${file} is no plan of this program${at}: ${issue?.message ?? 'it cannot be read'}`,
      '`trayward plan make CROP ... --out FILE` writes one.',
    );
  }
  const { aim, room, stock, happened, ...plan } = read.data;
  return {
    id: plan.id,
    name: plan.name,
    revision: plan.revision,
    made: plan.made,
    controller: plan.controller,
    request: {
      crop: plan.crop,
      aim,
      plants: plan.plants,
      germination: plan.germination,
      spareShare: plan.spare,
      certainty: plan.certainty,
      room: room === null ? null : { nightC: room.night_c, dayC: room.day_c },
      mat: plan.mat,
      light: plan.light,
      cellsPerTray: plan.cells_per_tray,
      plug: plugOf(plan.plug_mm),
      ppfdUmol: plan.ppfd_umol,
      stock: { ratio: stock.ratio, gainMsCm: stock.gain_ms_cm, parts: stock.parts },
    },
    happened,
  };
}

const plugOf = (sides: readonly [number, number, number] | null): PieceSize | null =>
  sides === null ? null : { lengthMm: sides[0], widthMm: sides[1], heightMm: sides[2] };

/** Null for what is no YAML: no file of ours is that. */
function parsed(text: string): unknown {
  try {
    // Aliases can make a small file a huge one, and no plan has any.
    return parse(text, { maxAliasCount: 0 });
  } catch {
    return null;
  }
}

const plansFolder = (store: string): string => join(store, 'plans');
export const keptFile = (store: string, name: string): string =>
  join(plansFolder(store), `${name}${EXTENSION}`);

/** Reads a plan's file. Throws `CommandError` where it is not there, or is none. */
export function readPlanFile(file: string): KeptPlan {
  return readPlanText(decodeUtf8(readBounded(file, FILE_MAX_BYTES, 'a plan')) ?? '', file);
}

/** Names of the plans kept in the store. */
export function keptNames(store: string): readonly string[] {
  const folder = plansFolder(store);
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .filter((file) => file.endsWith(EXTENSION) && NAME.test(file.slice(0, -EXTENSION.length)))
    .map((file) => file.slice(0, -EXTENSION.length))
    .sort();
}

/** The plans kept in the store. A file that is no plan is none. */
export const keptPlans = (store: string): readonly KeptPlan[] =>
  keptNames(store).flatMap((name) => {
    try {
      return readPlanFile(keptFile(store, name));
    } catch {
      return [];
    }
  });

/** Keeps a plan in the store, whole or not at all. Returns its file. */
export function keepPlan(store: string, kept: KeptPlan): string {
  makeFolder(plansFolder(store));
  const file = keptFile(store, kept.name);
  writeOver(file, planText(kept));
  return file;
}

/** A plan by what was typed: the name of a kept one, or a file. `file`: where it is. */
export function openPlan(store: string, typed: string): { kept: KeptPlan; file: string } {
  const names = keptNames(store);
  const isName = NAME.test(typed) && !existsSync(typed);
  if (isName && !names.includes(typed)) {
    throw refused(
      'no-such-plan',
      `No plan is kept as "${typed}", and there is no such file.${didYouMean(typed, names)}`,
      names.length === 0
        ? '`trayward plan make --help` tells how one is made, and --keep NAME keeps it.'
        : `Kept are: ${names.join(', ')}.`,
    );
  }
  const file = names.includes(typed) ? keptFile(store, typed) : typed;
  return { kept: readPlanFile(file), file };
}
