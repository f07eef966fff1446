/** Advice for the alarms about the scale, and what stands on it. */
import type { AlarmName } from '../catalogue';
import type { Advice } from './kinds';

export const SCALE_ADVICE = {
  'tray-away': {
    title: 'Tray not on the scale',
    meaning:
      'The tray has been off the scale for an hour. Off the scale it is off its mat: no heat and no water until it is back.',
    causes: [
      'the tray stands somewhere else',
      'it came back far drier than it went, and is not known again',
      'plants were taken out, or others put in, without a mark',
      'the tray rests on something beside the scale',
    ],
    next: [
      'Put the tray back on the scale; everything goes on by itself.',
      'If it stands there, much drier than it went or with other plants: soak it, let it drain, then `trayward mark soaked`.',
    ],
    quantity: 'mass',
  },
  'thing-on-tray': {
    title: 'Something stands on the tray',
    meaning:
      'More was put on than the wool could hold as water. It is left out of the weight; watering goes on without it. If it came while the scale was silent, what the tray lost meanwhile shows only when it is taken off.',
    causes: [
      'a weight or a tool left on the tray',
      'another tray put on top',
      'a lid of another kind',
      'a weight that stood there, and may have gone, before hours without a scale or power',
    ],
    next: [
      'Take it off; its weight is known and leaves with it.',
      'If nothing stands there, soak the tray, let it drain, then `trayward mark soaked`.',
      'If it belongs there, soak the tray, let it drain, then `trayward mark soaked`.',
    ],
    quantity: 'mass',
  },
  'scale-silent': {
    title: 'Scale silent',
    meaning: 'The scale sends nothing. Without weight no water is given.',
    causes: ['scale unplugged', 'converter without power', 'cable damaged'],
    next: ['Check the scale cable at both ends.', 'Then look at `trayward scale check`.'],
    quantity: 'none',
  },
  'scale-saturated': {
    title: 'Scale at the end of its range',
    meaning:
      'The converter reads its largest or smallest number: that is no weight. No water is given.',
    causes: [
      'load beyond the cell',
      'something presses on or jams the tray',
      'a bridge wire is broken',
    ],
    next: [
      'Take the load off and see whether the reading returns.',
      'Check the four bridge wires; a cell that was overloaded must be replaced.',
      'Then run `trayward scale check`.',
    ],
    quantity: 'code',
  },
  'scale-noisy': {
    title: 'Scale not steady',
    meaning: 'The weight moves too much to be trusted. No water is given until it is steady.',
    causes: [
      'fan or pump shaking the bench',
      'draught on the lid',
      'tray touching a wall',
      'loose bridge wire',
    ],
    next: [
      'Look for what moves or touches the tray.',
      'Move fans away; watch `trayward scale check`.',
    ],
    quantity: 'mass',
  },
  'weight-rising': {
    title: 'Weight rising with the pump off',
    meaning: 'The tray gains weight although no dose is running. Nothing is given.',
    causes: ['siphon through the pump tube', 'pump stuck on', 'water dripping in from above'],
    next: [
      'Lift the tube out of the tray now.',
      'If the pump turns, pull its plug.',
      'Raise the tube end above the water, or fit a check valve.',
    ],
    quantity: 'mass',
  },
  'weight-falling': {
    title: 'Weight falling too fast',
    meaning: 'The tray loses weight faster than plants and air can take it. Nothing is given.',
    causes: [
      'leak in the tray',
      'tray or plants taken off without a pause',
      'tray slipping off the scale',
    ],
    next: [
      'Look for water under the tray; keep away from wet mains plugs.',
      'Set the tray square on the scale; replace a leaking tray.',
      'If you took plants away, mark `soaked` after the next full soak.',
    ],
    quantity: 'mass',
  },
  'calibration-missing': {
    title: 'Water cannot be measured yet',
    meaning:
      'The stage waters by weight, and the scale or the pump was never calibrated, or the tray never marked soaked. No water is given.',
    causes: [
      'blocks transplanted and not yet marked `soaked`',
      'marked `dry`, and not yet `soaked` after it',
      'new controller',
      'settings erased',
    ],
    next: [
      'See `trayward status` for what is missing.',
      'The scale or the pump: `trayward scale calibrate`, then `trayward pump calibrate`.',
      'The container capacity: soak and drain the tray, then `trayward mark soaked`.',
    ],
    quantity: 'none',
  },
  'calibration-old': {
    title: 'Calibration old',
    meaning:
      'The scale was calibrated half a year ago or longer; its zero and its span drift. The pump is weighed by each of its doses.',
    causes: ['time'],
    next: [
      'Check with a known weight: `trayward scale check`.',
      'Calibrate again between two crops.',
    ],
    quantity: 'days',
  },
} satisfies Partial<Record<AlarmName, Advice>>;
