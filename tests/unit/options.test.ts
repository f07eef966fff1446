/** Options of a command: read once, by name and type, before the command works. */
import { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import {
  given,
  needed,
  number,
  oneOf,
  quantity,
  type Readers,
  readOptions,
  typedText,
  whole,
} from '../../cli/arguments/options';

async function read<R extends Readers>(command: Command, readers: R, ...words: string[]) {
  await command.exitOverride().parseAsync(words, { from: 'user' });
  return readOptions(command, readers, 'metric');
}

const dosing = () =>
  new Command('dose')
    .option('--yes')
    .option('--weight <mass>')
    .option('--room-max <temperature>', '', '26 C')
    .option('--times <count>')
    .option('--share <number>')
    .option('--out <file>')
    .option('--rail <V>');
const READERS = {
  yes: given,
  weight: quantity('mass'),
  roomMax: needed(quantity('temperature')),
  times: whole(1, 9),
  share: number(0, 1),
  out: typedText,
  rail: oneOf(['12', '24']),
};

describe('the options of a command', () => {
  it('are what was typed, in the program’s own units, and null where nothing was', async () => {
    expect(await read(dosing(), READERS)).toEqual({
      yes: false,
      weight: null,
      roomMax: 26,
      times: null,
      share: null,
      out: null,
      rail: null,
    });
    const words = ['--yes', '--weight', '2kg', '--room-max', '30C', '--times', '3', '--rail', '12'];
    expect(await read(dosing(), READERS, ...words, '--share', '0.5', '--out', 'x')).toEqual({
      yes: true,
      weight: 2_000,
      roomMax: 30,
      times: 3,
      share: 0.5,
      out: 'x',
      rail: '12',
    });
  });

  it.each([
    [['--times', '0'], '--times 0 is no whole number from 1 to 9.'],
    [['--times', '1.5'], '--times 1.5 is no whole number'],
    [['--times', ''], '--times "" is no whole number'],
    [['--share', '2'], '--share 2 is no number from 0 to 1.'],
    [['--rail', '5'], '--rail 5 is none of them.'],
    [['--weight', '5'], 'no unit'],
    [['--room-max', '5 kg'], 'kg'],
  ])('are refused with their name: %j', async (words, why) => {
    await expect(read(dosing(), READERS, ...words)).rejects.toThrow(why);
  });

  it('are told with what may be: a number without its unit, and the words there are', async () => {
    const next = (...words: string[]) =>
      read(dosing(), READERS, ...words).catch((error: unknown) => Object(error).next);
    expect(await next('--share', '50%')).toBe('Give the number alone: --share 50.');
    expect(await next('--rail', '5')).toBe('Give 12 or 24.');
  });

  it('are refused as missing where the command cannot do without', async () => {
    const command = () => new Command('mix').option('--room-max <temperature>');
    const readers = { roomMax: needed(quantity('temperature')) };
    await expect(read(command(), readers)).rejects.toThrow('--room-max is missing.');
  });

  it('are all read, and none is read that was not declared', async () => {
    const command = () => new Command('mix').option('--yes').option('--no-one-reads');
    await expect(read(command(), { yes: given })).rejects.toThrow('mix');
    await expect(read(new Command('mix'), { yse: given })).rejects.toThrow('yse');
  });
});
