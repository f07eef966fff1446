/** What may be typed next, for a shell that completes: the program's own commands and options, asked of themselves. */
import type { Command, Option } from 'commander';
import type { Act, World } from './context';
import type { Noun } from './nouns';
import { ARGUMENT_NAMES, OPTION_NAMES } from './offered';

/** Nothing is done while commands are only looked at. */
const idle: Act = () => async () => {};

const takesValue = ({ required, optional }: Option): boolean => required || optional;
const optionsOf = (commands: readonly Command[]): readonly Option[] =>
  commands.flatMap((command) =>
    [
      ...command.options,
      command
        .createHelp()
        .visibleOptions(command)
        .find(({ long }) => long === '--help'),
    ].filter((option): option is Option => option !== undefined && !option.hidden),
  );

/** Words that could stand where the last of `words` stands; none where a file or a value is typed. */
export async function candidates(
  program: Command,
  nouns: readonly Noun[],
  words: readonly string[],
  env: World['env'],
): Promise<readonly string[]> {
  const partial = words.at(-1) ?? '';
  const path: Command[] = [program];
  let awaited: Option | undefined;
  /** Arguments of the command that were typed before. */
  let typed = 0;
  for (const word of words.slice(0, -1)) {
    if (awaited !== undefined) {
      awaited = undefined;
      continue;
    }
    if (word.startsWith('-')) {
      const option = optionsOf(path).find(({ long, short }) => long === word || short === word);
      if (option !== undefined && takesValue(option)) awaited = option;
      continue;
    }
    const next = path.at(-1)?.commands.find((command) => command.name() === word);
    if (next === undefined) {
      typed += 1;
      continue;
    }
    typed = 0;
    if (path.length === 1)
      (await nouns.find(({ name }) => name === word)?.load())?.register(next, idle);
    path.push(next);
  }
  const offered = await wordsAt(path, awaited, typed, partial, env);
  const fitting = offered.filter((word) => word.startsWith(partial));
  return [...new Set(fitting)];
}

async function wordsAt(
  path: readonly Command[],
  awaited: Option | undefined,
  typed: number,
  partial: string,
  env: World['env'],
): Promise<readonly string[]> {
  const command = path.at(-1);
  if (command === undefined) return [];
  if (awaited !== undefined)
    return awaited.argChoices ?? (await OPTION_NAMES[awaited.long ?? '']?.(env)) ?? [];
  if (partial.startsWith('-'))
    return optionsOf(path).flatMap(({ long }) => (long == null ? [] : [long]));
  const place = Math.min(typed, command.registeredArguments.length - 1);
  const choices = command.registeredArguments[place]?.argChoices ?? [];
  const commandName = path.slice(1).map((one) => one.name());
  const names = (await ARGUMENT_NAMES[[...commandName, place].join(' ')]?.(env)) ?? [];
  return [...command.commands.map((verb) => verb.name()), ...choices, ...names];
}
