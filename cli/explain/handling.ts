/** A tray that stood somewhere else, or with something on it. Pure. */
import { HOUR_MS } from '../../shared/units/time';
import { claim, type Finding, piece, rank } from './finding';
import { PRESENCE_EVIDENCE as LIMITS } from './limits';
import type { Stand } from './stand';
import type { Away } from './weights';

export function handling(stand: Stand): readonly Finding[] {
  const aways = stand.aways
    .filter(({ fromMs, toMs, marked }) => !marked && toMs - fromMs >= LIMITS.awayMs)
    .map(away);
  return [...aways, ...things(stand)];
}

function away(one: Away): Finding {
  const { fromMs, toMs, open, notes } = one;
  const hours = (toMs - fromMs) / HOUR_MS;
  return {
    kind: 'handling',
    fromMs,
    toMs,
    open,
    what: claim(
      ({ time, span }) =>
        `The tray was off the scale for ${span(toMs - fromMs)}, from ${time(fromMs)}${open ? ', and still is' : ''}`,
      notes,
    ),
    causes: rank(
      [
        {
          cause: 'tray-lifted',
          weigh: (by: Away) => [
            piece(true, 4, 'the scale read hardly anything between a hand and the next', by.notes),
          ],
        },
      ],
      one,
    ),
    did: [
      claim(
        'Off its mat and its scale a tray gets no heat and no water; everything went on when it was back',
        notes,
      ),
    ],
    crop: [],
    measures: {},
    alarms: [
      'tray-away',
      'weight-falling',
      'drying-fast',
      'probe-jumped',
      'too-cold',
      'band-out-of-reach',
      'mat-no-effect',
      'feed-late',
    ],
    weight: hours,
  };
}

function things({ spans }: Stand): readonly Finding[] {
  return spans
    .filter(({ alarm }) => alarm === 'thing-on-tray')
    .map(({ fromMs, toMs, standing, raised }) => ({
      kind: 'handling',
      fromMs,
      toMs,
      open: standing,
      what: claim(
        ({ value, time }) =>
          `Something of ${value('mass', raised.entry.value)} stood on the tray from ${time(fromMs)}`,
        [raised],
      ),
      causes: rank(
        [
          {
            cause: 'thing-on-tray',
            weigh: () => [
              piece(true, 2, 'more was put on than the wool could hold as water', [raised]),
            ],
          },
        ],
        null,
      ),
      did: [claim('It left that out of the weight and watered on', [raised])],
      crop: [],
      measures: {},
      alarms: ['thing-on-tray'],
      weight: 0.5,
    }));
}
