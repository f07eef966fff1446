/** What is told from a page, each act done by the very command of its name, in a session of its own. */
import { PassThrough } from 'node:stream';
import type { UnitSystem } from '../../shared/units';
import { quantityOf } from '../arguments/quantity';
import type { Answer, Context, World } from '../context';
import { CommandError } from '../failure';
import { PAGE_LIMITS } from '../keep/page/limits';
import type { Outcome } from '../keep/page/outcome';
import type { Act, ActRequest, Perform, Told } from '../keep/page/serve/acts';
import { LinkError } from '../link/client';
import { within } from '../link/within';
import { countedOf } from '../seed/counted';
import { runInSession } from '../session';
import { createStyle } from '../terminal/output';
import { mended, seen } from './alarm';
import { setMark } from './mark';
import { writeNote } from './mark-note';
import { count } from './seed';

/** Whose hands these acts are. */
interface ActParts {
  readonly world: World;
  readonly store: string;
  readonly units: UnitSystem;
}

/** What is asked on the way: the page puts it to whoever pressed the button. */
class Asked {
  question: string | null = null;

  readonly ask: Context['ask'] = {
    possible: false,
    pause: async () => {},
    line: async () => '',
    confirm: async (question) => {
      this.question = question;
      return false;
    },
  };
}

const MARK = { weight: null, volume: null, ec: null, pieces: null };
const LITRES: Readonly<Record<UnitSystem, string>> = { metric: 'l', us: 'gal' };

/** A number as any keyboard writes it, with the unit that stands beside its field. */
const quantityIn = (kind: 'volume' | 'ec', text: string, unit: string): number =>
  quantityOf(kind, /^[\d.,\s]+$/.test(text) ? `${text.replace(',', '.')}${unit}` : text, '');

async function doneBy(context: Context, told: Act, sure: boolean, store: string): Promise<Answer> {
  switch (told.act) {
    case 'seen':
      return seen(context, [told.alarm]);
    case 'mended':
      return mended(context, told.alarm);
    case 'sown':
    case 'emerged':
    case 'transplanted':
      return setMark(context, told.act, { ...MARK, yes: sure });
    case 'refilled':
      return setMark(context, 'refilled', {
        ...{ ...MARK, yes: sure },
        volume: quantityIn('volume', told.volume, LITRES[context.units]),
        ec: quantityIn('ec', told.ec, 'mS/cm'),
      });
    case 'count':
      return count(context, store, countedOf(`${told.standing} of ${told.of}`, ''), {
        ...{ lot: null, at: null, sown: null, instead: false },
      });
    case 'note':
      return writeNote(context, 'note', [told.text]);
  }
}

/** What does acts for a page. */
export const actsOf =
  (parts: ActParts): Perform =>
  (asked, told) =>
    perform(asked, told, parts);

async function perform(
  { act: told, sure }: ActRequest,
  { port, boardId }: Told,
  { world, store, units }: ActParts,
): Promise<Outcome> {
  const asked = new Asked();
  const silent = { write: () => true };
  const apart: World = {
    ...{ ...world, stdin: new PassThrough(), stdout: silent, stderr: silent },
    interrupt: new AbortController().signal,
  };
  const options = { json: false, quiet: true, units, port };
  const work = runInSession(apart, options, async (context) => {
    const { hello } = await context.client();
    if (hello.boardId !== boardId) {
      throw new LinkError('not-ours', `Another controller, ${hello.boardId}, answers there now.`);
    }
    const here = {
      ...context,
      ask: asked.ask,
      style: createStyle(false, Number.POSITIVE_INFINITY),
    };
    return doneBy(here, told, sure, store);
  });
  const late = (): Error =>
    new CommandError('failed', 'late', 'The controller did not answer in time.', LOOK_AGAIN);
  try {
    const { text } = await within(PAGE_LIMITS.actMostMs, work, late, () => undefined);
    return { is: 'done', says: text };
  } catch (error) {
    if (asked.question !== null) return { is: 'asks', asks: asked.question };
    if (error instanceof CommandError) {
      return { is: 'refused', says: error.message, next: error.next };
    }
    const says = `Something went wrong inside the program (${Object(error).name}).`;
    return { is: 'refused', says, next: LOOK_AGAIN };
  }
}
const LOOK_AGAIN = 'Look at how the tray stands before you try again.';
