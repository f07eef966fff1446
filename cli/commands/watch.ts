/** `watch`: the status, live, in place, until Ctrl-C; plain lines where there is no terminal. */
import type { Command } from 'commander';
import type { Status } from '../../shared/link/status';
import { whole } from '../arguments/options';
import type { Act, Context } from '../context';
import { localTime } from '../terminal/local-time';
import { type Fact, facts, wrap } from '../terminal/output';
import { follow, type Sight } from '../watch/follow';
import { createScreen } from '../watch/screen';
import { whatIsBack, whyLost } from '../watch/words';
import { statusFacts } from '../words/status';

/** Readings of eleven days; whoever wants more leaves --times away. */
const TIMES_MAX = 1_000_000;

/** Takes each thing that is seen. */
type Show = (sight: Sight) => void;

/** The time at which something was seen, and what. */
const timed = (context: Context, words: string): string =>
  `${localTime(context.world.now()).slice(11)}  ${words}`;

const factsOf = (status: Status, { units, world }: Context): Fact[] =>
  statusFacts(status, units, world.now());

/** One JSON object a line: a status, or an event. */
function forPrograms({ world }: Context): Show {
  const line = (object: object): unknown => world.stdout.write(`${JSON.stringify(object)}\n`);
  let isLost = false;
  return (sight) => {
    if (sight.kind === 'reading') line(sight.status);
    if (sight.kind === 'lost' && !isLost) line({ event: 'lost', reason: sight.reason });
    if (sight.kind === 'back') {
      line({ event: 'back', restarted: sight.restarted, boot: sight.boot });
    }
    if (sight.kind !== 'late') isLost = sight.kind === 'lost';
  };
}

/** Blocks below each other, for a file or a pipe. */
function asLines(context: Context): Show {
  const { stdout } = context.world;
  let isLost = false;
  return (sight) => {
    if (sight.kind === 'reading') {
      stdout.write(`${facts(factsOf(sight.status, context), context.style)}\n\n`);
    }
    if (sight.kind === 'lost' && !isLost) {
      stdout.write(`${timed(context, `${whyLost(sight.reason)} Trying to reach it again.`)}\n\n`);
    }
    if (sight.kind === 'back') stdout.write(`${timed(context, whatIsBack(sight))}\n\n`);
    if (sight.kind !== 'late') isLost = sight.kind === 'lost';
  };
}

/** One block, drawn anew in place, with what is the matter below it. */
function inPlace(context: Context): Show {
  const screen = createScreen(context.world.stdout);
  let shown = '';
  let seenMs = 0;
  /** The last thing that happened to the line; it stays to be read. */
  let news = '';
  return (sight) => {
    const { style, world } = context;
    const since = (): string => `No reading since ${localTime(seenMs).slice(11)}`;
    let now = '';
    if (sight.kind === 'reading') {
      shown = facts(factsOf(sight.status, context), style);
      seenMs = world.now();
    } else if (sight.kind === 'late') {
      now = `${since()}. Waiting for an answer.`;
    } else if (sight.kind === 'lost') {
      const again = `Trying again in ${Math.ceil(sight.retryMs / 1000)} s.`;
      now = `${since()}: ${whyLost(sight.reason)} ${again}`;
    } else news = timed(context, whatIsBack(sight));
    const block = now === '' ? shown : style.quiet(shown);
    const clock = timed(context, 'Ctrl-C ends the watch; the tray goes on.');
    const end = style.quiet(wrap(clock, style.width));
    const words = [now === '' ? '' : style.warn(wrap(now, style.width)), wrap(news, style.width)];
    screen.draw([block, '', ...words.filter((one) => one !== ''), end].join('\n'));
  };
}

export function register(noun: Command, act: Act): void {
  noun.option('--times <count>', 'stop after so many readings').action(
    act({ times: whole(1, TIMES_MAX) }, async (context, options) => {
      const times = options.times ?? Number.POSITIVE_INFINITY;
      const { stdout, env } = context.world;
      const onTerminal = stdout.isTTY === true && env.TERM !== 'dumb';
      const show = (context.json ? forPrograms : onTerminal ? inPlace : asLines)(context);
      const stopped = context.untilInterrupt().then(() => null);
      const sights = follow(context);
      let readings = 0;
      while (readings < times) {
        const next = await Promise.race([stopped, sights.next()]);
        if (next === null) {
          // Below the "^C" that the terminal has just shown.
          if (onTerminal && !context.json) stdout.write('\n');
          break;
        }
        show(next.value);
        if (next.value.kind === 'reading') readings++;
      }
      return { result: { readings }, text: '' };
    }),
  );
}
