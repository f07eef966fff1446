/**
 * What each alarm says to a grower: what it means, what usually causes it, and what to do next. Used
 * on the host only; the board knows alarms by number.
 */
import type { AlarmName } from './catalogue';

/** What the value and the limit of an alarm measure, so that they can be shown in the user's units. */
export type AlarmQuantity =
  | 'temperature'
  | 'temperature-change'
  | 'code'
  | 'mass'
  | 'volume'
  | 'share'
  | 'days'
  | 'count'
  | 'none';

export interface Advice {
  /** A few words, as a heading. */
  readonly title: string;
  /** What the controller saw, and what it does about it. */
  readonly meaning: string;
  /** Likely causes, likeliest first. */
  readonly causes: readonly string[];
  /** What to do, in order. */
  readonly next: readonly string[];
  readonly quantity: AlarmQuantity;
}

const UNPLUG_MAT = 'If the mat is warm, unplug it before you touch anything wet.';
const CLEAR = 'When it is put right, clear the alarm; the controller goes on by itself.';

/** Advice for the alarms about heat. */
const HEAT_ADVICE = {
  'probe-open': {
    title: 'Root-zone probe open',
    meaning:
      'The probe reads like a broken wire. Without it the root zone is unknown; the mat is off.',
    causes: ['probe unplugged', 'cable cut or pulled out of its terminal', 'probe broken'],
    next: [
      UNPLUG_MAT,
      'Check the plug and the cable, then compare with `trayward probe check`.',
      'Fit a new probe if it stays open.',
      CLEAR,
    ],
    quantity: 'code',
  },
  'probe-short': {
    title: 'Root-zone probe short',
    meaning: 'The probe reads hotter than any root zone, like two wires touching. The mat is off.',
    causes: ['water in the plug or a split in the sheath', 'cable crushed', 'probe broken'],
    next: [
      UNPLUG_MAT,
      'Dry the plug; look along the cable for a crushed place.',
      'Fit a new probe if it stays short.',
      CLEAR,
    ],
    quantity: 'code',
  },
  'probe-frozen': {
    title: 'Root-zone probe frozen',
    meaning:
      'The reading has not moved at all for a long time; a live probe always moves a little. The mat is off.',
    causes: ['loose contact that holds an old charge', 'fault in the measuring circuit'],
    next: [
      'Warm the probe in your hand and watch `trayward probe check`: the reading must move.',
      'Check its plug; restart the controller if it stays still.',
      CLEAR,
    ],
    quantity: 'temperature',
  },
  'probe-jumped': {
    title: 'Root-zone probe moved faster than water can',
    meaning:
      'Wet wool cannot change its temperature that fast, so the probe is not where it belongs or its wire is loose. The mat is off.',
    causes: [
      'probe pulled out of the plug',
      'loose contact',
      'cold or hot water poured on the probe',
    ],
    next: [
      'Put the probe back into the middle of a plug, half-way down, and fix its cable.',
      'Wait until `trayward probe check` is steady.',
      CLEAR,
    ],
    quantity: 'temperature',
  },
  'mat-probe-failed': {
    title: 'Mat probe failed',
    meaning:
      'The probe on the mat reads open or short, or has not moved at all for half an hour, so an overheating mat would go unseen. The mat is off.',
    causes: [
      'probe unplugged',
      'cable cut or crushed under the tray',
      'probe broken',
      'fault in the measuring circuit',
    ],
    next: [
      UNPLUG_MAT,
      'Check the plug and the cable of the mat probe.',
      'Warm it in your hand and watch `trayward probe check`: the reading must move.',
      CLEAR,
    ],
    quantity: 'code',
  },
  'root-zone-hot': {
    title: 'Root zone too hot',
    meaning: 'The root zone is above the limit. The mat is off until you clear this.',
    causes: [
      'sun or lamp on the closed lid',
      'room hotter than the limit',
      'mat or its switch stuck on',
      'probe lying on the mat',
    ],
    next: [
      'Shade the tray, and open the vents or lift the lid.',
      'Feel whether the mat is warm although it is off; if so, unplug it.',
      'Check that the probe sits in a plug, not on the mat.',
      CLEAR,
    ],
    quantity: 'temperature',
  },
  'mat-hot': {
    title: 'Mat too hot',
    meaning: 'The mat itself is above its limit. It is off until you clear this.',
    causes: [
      'tray lifted off a mat that was on',
      'mat folded, covered, or lying on insulation only',
      'mat too strong for the tray',
    ],
    next: [
      'Unplug the mat and let it cool; look for dark or soft places. A damaged mat must not be used again.',
      'Lay it flat under a full tray.',
      CLEAR,
    ],
    quantity: 'temperature',
  },
  'mat-no-effect': {
    title: 'Mat has no effect',
    meaning: 'The mat has been on for half an hour and the root zone has hardly warmed.',
    causes: [
      'mat unplugged, or its fuse or thermal cut-off has opened',
      'loose contact of a probe: the limiter then keeps the mat off',
      'tray not on the mat',
      'lid left open in a cold room',
      'probe out of the plug',
    ],
    next: [
      'Feel the mat: cold means no power; check plug, fuse and thermal cut-off with the mains off.',
      'Check that tray, lid and probe are where they belong.',
    ],
    quantity: 'temperature-change',
  },
  'probe-suspect': {
    title: 'Root-zone probe suspect',
    meaning:
      'The mat gets warm and the root-zone probe does not follow, so the probe may not be in the root zone. The mat is off.',
    causes: [
      'probe pulled out of the plug',
      'plug with the probe lifted off the tray',
      'probe failing',
    ],
    next: [
      'Put the probe back into the middle of a plug.',
      'Compare it with a thermometer: `trayward probe calibrate --reads`.',
      CLEAR,
    ],
    quantity: 'temperature',
  },
  'band-out-of-reach': {
    title: 'Band out of reach here',
    meaning:
      'The mat has been on for hours and the temperature is level, below the band. Heating goes on, but it cannot do more.',
    causes: [
      'room too cold for this mat',
      'lid open or vents open',
      'nothing insulating under the mat',
    ],
    next: [
      'Close the lid and vents if the stage allows it.',
      'Put insulation under the mat, or warm the room.',
      'Otherwise use a lower band or a stronger mat.',
    ],
    quantity: 'temperature',
  },
  'mat-stuck-on': {
    title: 'Mat will not switch off',
    meaning:
      'The mat has been commanded off for a quarter of an hour and the root zone still gets warmer.',
    causes: [
      'relay or transistor of the mat failed closed',
      'sun or a lamp on the tray',
      'warm water was given',
    ],
    next: [
      'Unplug the mat now.',
      'If it cools, the switch has failed: have it replaced before the mat is used again.',
      'If it was the sun, shade the tray.',
      CLEAR,
    ],
    quantity: 'temperature',
  },
} satisfies Partial<Record<AlarmName, Advice>>;

/** Advice for the alarms about weight and water. */
const WATER_ADVICE = {
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
    ],
    next: [
      'Look for water outside the tray first; keep away from wet mains plugs.',
      'Check the reservoir and the tube at both ends; refill and mark `refilled`.',
      'Run `trayward pump prime`, and see it drip into the tray.',
      CLEAR,
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
      CLEAR,
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
      CLEAR,
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
      CLEAR,
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
    meaning: 'The last calibration is long ago; scale and pump tubing drift.',
    causes: ['time'],
    next: [
      'Check with a known weight: `trayward scale check`.',
      'Calibrate again between two crops.',
    ],
    quantity: 'days',
  },
} satisfies Partial<Record<AlarmName, Advice>>;

/** Advice for the alarms about the controller itself. */
const CONTROLLER_ADVICE = {
  'profile-missing': {
    title: 'No profile',
    meaning: 'There is no sound profile to follow. Mat and pump stay off.',
    causes: ['none was loaded yet', 'the stored one failed its check'],
    next: ['Load one: `trayward profile load FILE`.'],
    quantity: 'none',
  },
  'restarting-often': {
    title: 'Restarting often',
    meaning:
      'The controller has restarted by a fault several times within an hour. Mat and pump are off.',
    causes: [
      'weak power supply',
      'loose power plug',
      'mat or pump disturbing the supply',
      'a fault in the program',
    ],
    next: [
      'Check the supply and its plugs.',
      'Pull the journal (`trayward journal pull`) and look at the causes of the restarts.',
      CLEAR,
    ],
    quantity: 'count',
  },
  'storage-failing': {
    title: 'Storage failing',
    meaning:
      'The flash no longer keeps what is written. Heat goes on, but the journal or settings may be lost; a dose that cannot be written down is not given.',
    causes: ['flash worn out', 'supply dips while writing'],
    next: ['Pull the journal now.', 'Replace the board before the next crop.'],
    quantity: 'none',
  },
  'pump-stuck-on': {
    title: 'Pump will not switch off',
    meaning: 'The pump runs although it is commanded off, or longer than it ever may.',
    causes: ['transistor of the pump failed closed', 'wiring fault'],
    next: [
      'Pull the plug of the pump now, and lift its tube out of the tray.',
      'Have the switch replaced.',
      CLEAR,
    ],
    quantity: 'none',
  },
} satisfies Partial<Record<AlarmName, Advice>>;

/** Advice for every alarm. */
export const ADVICE: Readonly<Record<AlarmName, Advice>> = {
  ...HEAT_ADVICE,
  ...WATER_ADVICE,
  ...CONTROLLER_ADVICE,
};
