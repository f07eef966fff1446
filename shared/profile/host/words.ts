/** What the schema finds wrong, in a grower's words: zod's own speak of types, ours of what to write. */
import type { z } from 'zod';
import { didYouMean } from '../../text/nearest';

/** What belongs at a place in the file, by zod's name for it. */
const SHAPES: Readonly<Record<string, string>> = {
  object: 'a group of keys belongs here',
  array: 'a list belongs here, each item after a "- "',
  string: 'a text belongs here',
  number: 'a plain number belongs here',
  int: 'a whole number belongs here',
  boolean: 'true or false belongs here',
};

/** What such a group looks like, by its key. */
const GROUPS: Readonly<Record<string, string>> = {
  band: '{ low: 26 C, high: 28 C }',
  night_band: '{ low: 22 C, high: 24 C }',
  water: '{ start: 20 %, stop: 10 %, dose: 100 ml, soak_in: 10 min, max_day: 1 l, max_stage: 6 l }',
  open: '{ by: 2 d, stop: 1 % }',
  rescue: '{ at: 30 % }',
  until: '{ after: 6 d }',
  night: '{ from: "22:00", to: "06:00" }',
  quiet: '{ from: "22:00", to: "06:00" }',
};

/** What a count at `least` or `most` is a count of; nothing for a plain number. */
const COUNTED: Readonly<Record<string, string>> = { string: ' letters', array: ' items' };

const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;

function choiceOf(values: readonly unknown[], input: unknown): string {
  const words = values.map(String);
  const hint = typeof input === 'string' ? didYouMean(input, words) : '';
  return `One of these belongs here: ${words.join(', ')}.${hint}`;
}

/** Why a value is refused. `found`: how it stands in the file. */
export function wordsFor(issue: z.core.$ZodIssue, found: unknown): string {
  const { message } = issue;
  // What the schema says itself is meant for growers already.
  if (!/^(Invalid (input|option)|Too (small|big)): /.test(message)) return message;
  switch (issue.code) {
    case 'invalid_type': {
      const shape = SHAPES[issue.expected];
      if (shape === undefined) return message;
      const group = issue.expected === 'object' ? GROUPS[String(issue.path.at(-1))] : undefined;
      const ours = group === undefined ? shape : `${shape}, such as ${group}`;
      return message.endsWith('received undefined') ? `This is missing: ${ours}.` : sentence(ours);
    }
    case 'invalid_value':
      return choiceOf(issue.values, found);
    case 'too_small':
      return `At least ${issue.minimum}${COUNTED[issue.origin] ?? ''} here.`;
    case 'too_big':
      return `At most ${issue.maximum}${COUNTED[issue.origin] ?? ''} here.`;
    default:
      return message;
  }
}
