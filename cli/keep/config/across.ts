/**
 * What is wrong between the values of a keeper's file: names that are used twice or refer to nothing, secrets that
 * cannot be read, passwords without TLS. Looks at the raw values, so that all of it is told at once with what the
 * schema finds.
 */
import { readFileSync } from 'node:fs';
import { isAbsolute, join } from 'node:path';
import type { ProblemContent, SourcePath } from '../../../shared/profile/host/problem';
import { didYouMean } from '../../../shared/text/nearest';
import { isHere, openDoorProblems } from './open-doors';
import { pageProblems } from './page';
import { secretPlace } from './schema';
import { readSecret } from './secret';

export interface AcrossProblem extends ProblemContent {
  readonly path: SourcePath;
}

/** Where secrets and certificates are looked for. */
export interface Surroundings {
  /** Folder of the keeper's file. */
  readonly folder: string;
  readonly env: Readonly<Record<string, string | undefined>>;
}

/** A value of the file, and where it stands. */
export interface Item {
  readonly path: SourcePath;
  readonly value: unknown;
}

function listOf(file: unknown, key: string): readonly Item[] {
  const list: unknown = Object(file)[key];
  return Array.isArray(list) ? list.map((value, i) => ({ path: [key, i], value })) : [];
}

function textOf(value: unknown, key: string): string | null {
  const text: unknown = Object(value)[key];
  return typeof text === 'string' ? text.trim() : null;
}

/** Every problem of the kind, in no order. */
export function acrossProblems(file: unknown, around: Surroundings): readonly AcrossProblem[] {
  const trays = listOf(file, 'trays');
  const doors = listOf(file, 'doors');
  const tells = listOf(file, 'tell');
  const sparkplug: unknown = Object(file).sparkplug;
  return [
    ...twice(trays, 'name', 'Two trays have this name.'),
    ...twice(trays, 'port', 'Two trays have this port.'),
    ...twice(trays, 'controller', 'Two trays have this controller.'),
    ...twice(doors, 'name', 'Two doors have this name.'),
    ...trays.flatMap(trayProblems),
    ...doors.flatMap((door) => doorProblems(door, around)),
    ...secretProblems({ path: ['heartbeat'], value: Object(file).heartbeat }, ['url'], around),
    ...pageProblems({ path: ['page'], value: Object(file).page }, around),
    ...secretProblems({ path: ['page'], value: Object(file).page }, ['token'], around),
    ...openDoorProblems(file),
    ...(sparkplug === undefined
      ? []
      : doorProblems({ path: ['sparkplug'], value: sparkplug }, around)),
    ...tells.flatMap((tell) => tellProblems(tell, trays, doors)),
    ...tellTwice(tells),
    ...unused(trays, doors, tells),
  ];
}

function twice(items: readonly Item[], key: string, why: string): readonly AcrossProblem[] {
  const texts = items.map(({ value }) => textOf(value, key));
  return items.flatMap(({ path }, i) => {
    const text = texts[i] ?? null;
    return text !== null && texts.indexOf(text) < i ? [{ path: [...path, key], why }] : [];
  });
}

function trayProblems({ path, value }: Item): readonly AcrossProblem[] {
  if (textOf(value, 'port') !== null || textOf(value, 'controller') !== null) return [];
  const why =
    'It is not said where this tray is: give its port, its controller (`trayward find` shows both), or both.';
  return [{ path: [...path, 'port'], why }];
}

function doorProblems(door: Item, around: Surroundings): readonly AcrossProblem[] {
  const { path, value } = door;
  const url = textOf(value, 'url');
  const hasPassword = Object(value).password !== undefined;
  const hasUser = textOf(value, 'user') !== null;
  const problems: AcrossProblem[] = [];
  const say = (key: string, why: string): void => void problems.push({ path: [...path, key], why });
  if (hasPassword !== hasUser) {
    say(
      hasUser ? 'password' : 'user',
      'A user has a password, and a password a user: one is missing.',
    );
  }
  if (
    textOf(value, 'security') === 'none' &&
    (hasPassword || !isHere(textOf(value, 'host') ?? ''))
  ) {
    say(
      'security',
      'Without TLS anybody on the way reads along: that is allowed only for a server on this computer (127.0.0.1) that asks for no password.',
    );
  }
  if (url !== null && /^(http|mqtt):\/\//.test(url) && !isHere(hostOf(url))) {
    say(
      'url',
      'Without TLS anybody on the way reads along: that is allowed only for this computer (127.0.0.1). Write https:// or mqtts://.',
    );
  }
  return [
    ...problems,
    ...secretProblems(door, ['password', 'secret', 'url'], around),
    ...certificateProblems(door, around),
  ];
}

export const hostOf = (url: string): string => {
  try {
    return new URL(url).hostname.replace(/^\[|\]$/g, '');
  } catch {
    return '';
  }
};

export function secretProblems(
  { path, value }: Item,
  keys: readonly string[],
  { folder, env }: Surroundings,
): readonly AcrossProblem[] {
  return keys.flatMap((key) => {
    const place = secretPlace(Object(value)[key]);
    if (place === null) return [];
    const read = readSecret(place, folder, env);
    return read.ok ? [] : [{ path: [...path, key], why: read.why }];
  });
}

/** The file of a certificate, from the folder of the keeper's own. Throws the system's error. */
export const certificate = (ca: string, { folder }: Surroundings): string =>
  readFileSync(isAbsolute(ca) ? ca : join(folder, ca), 'utf8');

export function certificateProblems(
  { path, value }: Item,
  around: Surroundings,
): readonly AcrossProblem[] {
  const ca = textOf(value, 'ca');
  if (ca === null) return [];
  const say = (why: string): readonly AcrossProblem[] => [{ path: [...path, 'ca'], why }];
  try {
    const text = certificate(ca, around);
    return text.includes('-----BEGIN CERTIFICATE-----')
      ? []
      : say('This file has no certificate (PEM).');
  } catch (error) {
    return say(`The certificate cannot be read (${Object(error).code}).`);
  }
}

function tellProblems(
  { path, value }: Item,
  trays: readonly Item[],
  doors: readonly Item[],
): readonly AcrossProblem[] {
  const problems: AcrossProblem[] = [];
  const say = (keys: SourcePath, why: string): void =>
    void problems.push({ path: [...path, ...keys], why });
  const names = doors.flatMap((one) => textOf(one.value, 'name') ?? []);
  const name = textOf(value, 'door');
  const door = doors.find((one) => name !== null && textOf(one.value, 'name') === name);
  if (name !== null && door === undefined) {
    say(['door'], `There is no door "${name}".${didYouMean(name, names)}`);
  }
  const kind = textOf(door?.value, 'kind');
  const to = textOf(value, 'to');
  if (kind === 'mail' && to === null)
    say(['to'], 'By mail somebody is told at an address: add "to:".');
  if (kind !== null && kind !== 'mail' && to !== null) {
    say(['to'], 'Only mail has an address: this door sends to where it leads. Take "to:" out.');
  }
  const known = trays.flatMap((one) => textOf(one.value, 'name') ?? []);
  const wanted: unknown = Object(value).trays;
  for (const [i, tray] of (Array.isArray(wanted) ? wanted : []).entries()) {
    if (typeof tray !== 'string' || known.includes(tray)) continue;
    say(['trays', i], `There is no tray "${tray}".${didYouMean(tray, known)}`);
  }
  return problems;
}

/** One person by one door once: by that messages are told apart. */
function tellTwice(tells: readonly Item[]): readonly AcrossProblem[] {
  const ids = tells.map(({ value }) => `${textOf(value, 'who')}\n${textOf(value, 'door')}`);
  return tells.flatMap(({ path }, i) => {
    if (ids.indexOf(ids[i] ?? '') >= i) return [];
    const why = 'The same person is told by the same door twice. Put it into one, with all trays.';
    return [{ path: [...path, 'who'], why }];
  });
}

/** What would be kept in silence. */
function unused(
  trays: readonly Item[],
  doors: readonly Item[],
  tells: readonly Item[],
): readonly AcrossProblem[] {
  const used = tells.map(({ value }) => textOf(value, 'door'));
  const names = doors.map(({ value }) => textOf(value, 'name'));
  // A name that is misspelt is told of already.
  const hasLost = used.some((name) => name !== null && !names.includes(name));
  const idle = doors.flatMap(({ path, value }): AcrossProblem[] => {
    const name = textOf(value, 'name');
    const sendsJournals = Object(value).journal !== undefined;
    if (name === null || used.includes(name) || hasLost || sendsJournals) return [];
    return [{ path: [...path, 'name'], severity: 'warning', why: 'Nobody is told by this door.' }];
  });
  const hears = (name: string): boolean =>
    tells.some(({ value }) => {
      const { trays: heard, what } = Object(value);
      return what !== 'morning' && (!Array.isArray(heard) || heard.includes(name));
    });
  const unheard = trays.flatMap(({ path, value }): AcrossProblem[] => {
    const name = textOf(value, 'name');
    if (name === null || tells.length === 0 || hears(name)) return [];
    const why = 'Nobody is told of the alarms of this tray.';
    return [{ path: [...path, 'name'], severity: 'warning', why }];
  });
  return [...idle, ...unheard];
}
