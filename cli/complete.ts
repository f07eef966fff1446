/** What may be typed next, for a shell that completes: the program's own commands and options, asked of themselves. */
import type { Command, Option } from 'commander';
import type { Act } from './context';
import type { Noun } from './nouns';

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

/** Words that could stand where the last of `words` stands; none where a file, a name or a value is typed. */
export async function candidates(
  program: Command,
  nouns: readonly Noun[],
  words: readonly string[],
): Promise<readonly string[]> {
  const partial = words.at(-1) ?? '';
  const path: Command[] = [program];
  let awaited: Option | undefined;
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
    if (next === undefined) continue;
    if (path.length === 1)
      (await nouns.find(({ name }) => name === word)?.load())?.register(next, idle);
    path.push(next);
  }
  const fitting = wordsAt(path, awaited, partial).filter((word) => word.startsWith(partial));
  return [...new Set(fitting)];
}

function wordsAt(
  path: readonly Command[],
  awaited: Option | undefined,
  partial: string,
): readonly string[] {
  const command = path.at(-1);
  if (command === undefined) return [];
  if (awaited !== undefined) return awaited.argChoices ?? [];
  if (partial.startsWith('-'))
    return optionsOf(path).flatMap(({ long }) => (long == null ? [] : [long]));
  const choices = command.registeredArguments.flatMap(({ argChoices }) => argChoices ?? []);
  return [...command.commands.map((verb) => verb.name()), ...choices];
}
