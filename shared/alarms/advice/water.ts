/** Advice for the alarms about weight and water. */
import type { AlarmName } from '../catalogue';
import type { Advice } from './kinds';

export const WATER_ADVICE = {
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
  'water-held': {
    title: 'Water held off for long',
    meaning:
      'In a stage that waters, something that is no alarm has held water off for half a day.',
    causes: [
      'hands on the tray again and again, or a fan that moves it',
      'the scale never settles',
      'flash failing',
    ],
    next: [
      'Put right what holds water off; `trayward status` says whether it still does.',
      'Give water by hand meanwhile if the tray feels light.',
    ],
    quantity: 'held',
  },
  'feed-late': {
    title: 'Feed late',
    meaning:
      'The stage opens with feed, and half a day after its latest time the tray still has not had it, or not all of it.',
    causes: [
      'water is held off by an alarm, or by quiet hours',
      'scale or pump not calibrated, or the tray not marked `soaked`',
      'the tray still holds all it can',
    ],
    next: [
      'Look at `trayward status`: it says what holds water off.',
      'Give dilute feed by hand if it cannot be put right today.',
    ],
    quantity: 'none',
  },
  'drying-stopped': {
    title: 'The tray no longer dries',
    meaning:
      'By its weight the tray has lost hardly anything for most of a day, where it used to. What it really holds may be less than shown.',
    causes: [
      'something leans on the tray, or it touches a wall, a hose or a cable',
      'scale stuck: dirt under its platform, or a screw that holds it',
      'water standing in the tray or under it',
      'lid closed tighter than the stage asks for',
    ],
    next: [
      'See that tray and mat lie free; lift the tray and put it back: the weight must go to zero and return.',
      'Feel a plug. Give water by hand if it is dry.',
      'Put a known weight on the scale: `trayward scale check`.',
    ],
    quantity: 'mass-rate',
  },
  'pump-off': {
    title: 'Pump gives other than calibrated',
    meaning:
      'By the weight of its last doses the pump gives clearly more or less than it was calibrated to, or differs from dose to dose. Doses are set right by it, and watering goes on.',
    causes: [
      'tube worn or squeezed flat: it gives less and less',
      'air in the tube: doses differ',
      'reservoir higher or lower than before, or nearly empty',
      'another tube or pump, not calibrated yet',
    ],
    next: [
      'Look for air in the tube: `trayward pump prime`.',
      'Turn or change the tube, then `trayward pump calibrate`.',
    ],
    quantity: 'share',
  },
  'drying-fast': {
    title: 'Drying too fast for this lid',
    meaning:
      'The tray has lost weight for 25 minutes as it does not under the lid this stage asks for. Seed dies of a dry surface within a day.',
    causes: [
      'lid off, or not closed after airing',
      'lid broken',
      'a fan or heater blowing on the tray',
      'a slow leak',
    ],
    next: [
      'Put the lid as the stage says: `trayward status`.',
      'Feel under the tray for water. Mist the surface if it looks dry.',
    ],
    quantity: 'mass-rate',
  },
  'feed-unlike': {
    title: 'Other feed than the stage asks for',
    meaning:
      'The reservoir holds feed of another strength than this stage wants. Doses wait for that for the first day of the stage, then go on with what there is.',
    causes: ['a new stage began', 'mixed for another crop'],
    next: [
      'Mix feed of the EC that `trayward status` shows: `trayward feed mix --help`.',
      'Then tell its volume and EC: `trayward mark refilled --volume 4l --ec 0.8mS/cm`.',
    ],
    quantity: 'ec',
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
  'dose-not-seen': {
    title: 'Dose not seen by the scale',
    meaning:
      'The pump ran, and the tray did not gain the weight; or two doses in a row could not be weighed (hands on the tray, power cuts, a scale that failed meanwhile). Water may be somewhere else, so nothing more is given.',
    causes: [
      'reservoir empty',
      'tube off the pump or out of the tray',
      'air in the tube',
      'pump worn or blocked',
      'it ran through the tray: fuller than is known, or too dry to take it up',
    ],
    next: [
      'Look for water outside the tray first; keep away from wet mains plugs.',
      'Check the reservoir and the tube at both ends; refill and mark `refilled`: if it had run dry, doses go on.',
      'Run `trayward pump prime`, and see it drip into the tray.',
      'If water has run through the tray, full or so dry that it sheds it: soak it, let it drain, then `trayward mark soaked`.',
    ],
    quantity: 'mass',
  },
  'dose-too-large': {
    title: 'Dose far too large',
    meaning: 'The tray gained far more than the dose. Nothing more is given.',
    causes: [
      'something else was added by hand',
      'pump calibration wrong',
      'siphon: the tube runs on by itself',
    ],
    next: [
      'See that the tube end is above the water and higher than the reservoir.',
      'Calibrate the pump: `trayward pump calibrate`.',
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
  'day-cap-reached': {
    title: 'Daily water cap reached',
    meaning: 'As much water as the profile allows in 24 hours has been given. Dosing waits.',
    causes: [
      'hot or dry day',
      'lid open',
      'cap too small for this tray',
      'water running through the tray',
    ],
    next: [
      'Look whether the tray stands in run-off.',
      'If the plants really use this much, raise `max_day` in the profile and load it.',
    ],
    quantity: 'volume',
  },
  'stage-cap-reached': {
    title: 'Water cap of the stage reached',
    meaning:
      'As much water as the profile allows in this stage has been given. Dosing waits for the next stage.',
    causes: ['stage longer than planned', 'hot weather', 'cap too small for this tray'],
    next: [
      'Check the tray; go on with `trayward stage next` if the plants are ready.',
      'Otherwise raise `max_stage` in the profile and load it.',
    ],
    quantity: 'volume',
  },
  'reservoir-low': {
    title: 'Reservoir nearly empty',
    meaning: 'By the account of doses little water is left.',
    causes: ['used up', 'refilled without telling the controller'],
    next: ['Refill it, no fuller than the drip tray can catch, and `trayward mark refilled`.'],
    quantity: 'volume',
  },
  'too-dry': {
    title: 'Tray too dry',
    meaning: 'The dry-back is past the rescue share of the stage.',
    causes: [
      'lid or vents open in a dry room',
      'hold too long for this weather',
      'dosing is held by another alarm',
    ],
    next: [
      'See `trayward status` for what holds dosing, and put that right.',
      'If plugs feel light, wet them by hand and mark `soaked` once they have drained.',
    ],
    quantity: 'share',
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
