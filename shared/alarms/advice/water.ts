/** Advice for the alarms about water, and how the tray dries. */
import type { AlarmName } from '../catalogue';
import type { Advice } from './kinds';

export const WATER_ADVICE = {
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
} satisfies Partial<Record<AlarmName, Advice>>;
