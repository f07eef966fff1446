/** The grower's hand and its words: what an action is told, checked before the bench hears of it. */
import {
  HAND_ACTION_NAMES,
  HAND_ACTIONS,
  type HandAction,
  type HandActionName,
} from '../../firmware/bench/hand-actions';
import { LID_PLACES } from '../../shared/profile/profile';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { choose } from '../arguments/choice';
import { quantityOf } from '../arguments/quantity';
import { usage } from '../failure';

const EXAMPLES = { mass: '5kg', volume: '2l', duration: '30s' } as const;

/** The action of this name. Throws a usage error that names the nearest one. */
export function handAction(name: string): HandActionName {
  const none = `The hand cannot "${name}".`;
  return choose(HAND_ACTION_NAMES, name, none, 'See `trayward bench hand` for the list.');
}

/** What the bench needs to hear for an action, from what was written after its name. Throws usage errors. */
export function handValue(
  name: HandActionName,
  text: string,
  units: UnitSystem,
): number | string | undefined {
  const action: HandAction = HAND_ACTIONS[name];
  const { takes } = action;
  if (takes === 'nothing') {
    if (text === '') return undefined;
    throw usage(`${name} takes no value.`, `Leave "${text}" away.`);
  }
  if (takes === 'lid') {
    if (LID_PLACES.some((place) => place === text)) return text;
    const what = text === '' ? 'How the lid goes is missing.' : `A lid cannot be "${text}".`;
    throw usage(what, `Say one of ${LID_PLACES.join(', ')}.`);
  }
  const example = `Write for example: trayward bench hand ${name} ${EXAMPLES[takes]}`;
  if (text === '') {
    if (action.optional) return undefined;
    throw usage(`${name} needs a ${takes}.`, example);
  }
  const value = quantityOf(takes, text, example);
  if (value <= action.max) return value;
  throw usage(
    `${name} goes up to ${formatQuantity(takes, action.max, units)}.`,
    'Give a smaller value.',
  );
}
