/**
 * Options of a command as one typed struct: each has a reader, and all are read once, before the
 * command works. What commander declares and what is read are compared then, so that no name is
 * misspelt and no option goes unread.
 */
import type { Command } from 'commander';
import type { QuantityKind, UnitSystem } from '../../shared/units';
import { usage } from '../failure';
import { choose } from './choice';
import { plainNumber, quantityOf } from './quantity';

/**
 * Value of an option from what commander has of it: undefined when it was not given, true for a switch,
 * else text. `flag`: as it is typed, such as `--room-max`. What is refused is told in `units`. Throws usage errors.
 */
export type Reader<T> = (typed: unknown, flag: string, units: UnitSystem) => T;
export type Readers = Readonly<Record<string, Reader<unknown>>>;
export type OptionsOf<R extends Readers> = { readonly [Name in keyof R]: ReturnType<R[Name]> };

const SEE_HELP = 'See the command with --help.';

/** Whether a switch such as `--yes` was given. */
export const given: Reader<boolean> = (typed) => typed === true;

/** What was typed, as a refusal quotes it. */
export function shortened(typed: string): string {
  if (typed === '') return '""';
  return typed.length > LONGEST_QUOTE ? `${typed.slice(0, LONGEST_QUOTE)}...` : typed;
}
const LONGEST_QUOTE = 40;

/** Text as it was typed, or null. */
export const typedText: Reader<string | null> = (typed) =>
  typeof typed === 'string' ? typed : null;

/** A whole number between `min` and `max`, or null; `why` it is these, and what to do `next`, where that helps. */
export const whole =
  (min: number, max: number, why = '', next = ''): Reader<number | null> =>
  (typed, flag) => {
    if (typeof typed !== 'string') return null;
    const value = /^[+-]?\d+$/.test(typed) ? Number(typed) : Number.NaN;
    if (value >= min && value <= max) return value;
    throw usage(
      `${flag} ${shortened(typed)} is no whole number from ${min} to ${max}.${why === '' ? '' : ` ${why}`}`,
      next === '' ? `Give a whole number from ${min} to ${max}.` : next,
      'not-a-number',
    );
  };

/** A number between `min` and `max`, without sign or exponent, or null; `unit` is what it counts. */
export const number =
  (min: number, max: number, unit = ''): Reader<number | null> =>
  (typed, flag) => {
    if (typeof typed !== 'string') return null;
    const value = plainNumber(typed);
    if (value >= min && value <= max) return value;
    const what = unit === '' ? 'number' : `number of ${unit}`;
    throw usage(
      `${flag} ${typed} is no ${what} from ${min} to ${max}.`,
      /^\d.*[a-z%]/i.test(typed)
        ? `Give the number alone: ${flag} ${Number.parseFloat(typed)}.`
        : 'Give such a number.',
      'not-a-number',
    );
  };

/** A quantity with its unit, in the program's own, or null. */
export const quantity =
  (kind: QuantityKind, next = SEE_HELP): Reader<number | null> =>
  (typed) =>
    typeof typed === 'string' ? quantityOf(kind, typed, next) : null;

/** One of a few words, or null; another is refused with all of them. */
export const oneOf =
  <T extends string>(words: readonly T[]): Reader<T | null> =>
  (typed, flag) =>
    typeof typed === 'string'
      ? choose(words, typed, `${flag} ${typed} is none of them.`, `Give ${listed(words)}.`)
      : null;

/** `a, b or c`. */
const listed = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;

/** An option that must be there, or has a default. */
export const needed =
  <T>(reader: Reader<T | null>, next = SEE_HELP): Reader<T> =>
  (typed, flag, units) => {
    const value = reader(typed, flag, units);
    if (value !== null) return value;
    throw usage(`${flag} is missing.`, next);
  };

/** An option as it is typed, by its name: `--room-max` for `roomMax`. */
export const flagOf = (name: string): string =>
  `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;

/** The options of `command` by their readers; what is refused is told in `units`. Throws usage errors. */
export function readOptions<R extends Readers>(
  command: Command,
  readers: R,
  units: UnitSystem,
): OptionsOf<R> {
  const declared = command.options.map((option) => option.attributeName()).filter(notVersion);
  const stray = [
    ...declared.filter((name) => !(name in readers)),
    ...Object.keys(readers).filter((name) => !declared.includes(name)),
  ];
  if (stray.length > 0) throw new Error(`${command.name()}: ${stray} declared, or read, alone`);
  const values: Readonly<Record<string, unknown>> = command.opts();
  const read = Object.entries(readers).map(([name, reader]) => [
    name,
    reader(values[name], flagOf(name), units),
  ]);
  // Sound: each name has just been read by the reader that its type comes from.
  return Object.fromEntries(read) as OptionsOf<R>;
}

/** Commander answers `--version` itself. */
const notVersion = (name: string): boolean => name !== 'version';
