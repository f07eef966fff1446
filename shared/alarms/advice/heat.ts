/** Advice for the alarms about heat. */
import type { AlarmName } from '../catalogue';
import { type Advice, UNPLUG_MAT } from './kinds';

export const HEAT_ADVICE = {
  'too-warm': {
    title: 'Root zone too warm',
    meaning:
      'The root zone has been more than 2 K above its band for two hours, or for a quarter of an hour above what this crop bears, and does not cool. The mat is off: it cannot cool.',
    causes: [
      'a warm room, or one warmer than this crop likes',
      'sun on the tray',
      'lamp too low, or the lid closed under it',
    ],
    next: [
      'Shade the tray; raise the lamp.',
      'Open the vents or prop the lid, and move air through the room.',
      'Move the tray to a cooler place if it stays so.',
    ],
    quantity: 'temperature',
  },
  'too-cold': {
    title: 'Root zone too cold',
    meaning:
      'The root zone is more than 2 K below its band: for an hour without warming up, or cooled down while the power was out. The mat heats if nothing holds it off.',
    causes: [
      'power was out',
      'cold room, or a draught',
      'lid off or vents open',
      'mat unplugged, too weak, or held off by an alarm',
    ],
    next: [
      'Look at `trayward status`: does the mat heat, or what holds it off?',
      'Close the lid; warm the room; lay insulation under the mat.',
      'Feel whether the mat is warm; check its plug and fuse.',
    ],
    quantity: 'temperature',
  },
  'probe-open': {
    title: 'Root-zone probe open',
    meaning:
      'The probe reads like a broken wire. Without it the root zone is unknown; the mat is off.',
    causes: ['probe unplugged', 'cable cut or pulled out of its terminal', 'probe broken'],
    next: [
      UNPLUG_MAT,
      'Check the plug and the cable, then compare with `trayward probe check`.',
      'Fit a new probe if it stays open.',
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
    ],
    quantity: 'code',
  },
  'root-zone-hot': {
    title: 'Root zone too hot',
    meaning:
      'The root zone is above what this crop bears and the mat may give the heat, or it is above what any root zone bears. The mat is off until you say that it is mended.',
    causes: [
      'mat or its switch stuck on',
      'probe lying on the mat',
      'mat probe not on the mat',
      'above 38 C: sun or lamp on the closed lid',
    ],
    next: [
      'Feel whether the mat is warm although it is off; if so, unplug it.',
      'Open the vents or lift the lid; shade the tray.',
      'Check that the probe sits in a plug, not on the mat.',
    ],
    quantity: 'temperature',
  },
  'mat-hot': {
    title: 'Mat too hot',
    meaning: 'The mat itself is above its limit. It is off until you say that it is mended.',
    causes: [
      'tray lifted off a mat that was on',
      'mat folded, covered, or lying on insulation only',
      'mat too strong for the tray',
    ],
    next: [
      'Unplug the mat and let it cool; look for dark or soft places. A damaged mat must not be used again.',
      'Lay it flat under a full tray.',
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
      'The mat is warm, heating or at rest, and the root-zone probe does not follow, so the probe may not be in the root zone. The mat is off.',
    causes: [
      'probe pulled out of the plug',
      'plug with the probe lifted off the tray',
      'probe failing',
    ],
    next: [
      'Put the probe back into the middle of a plug.',
      'Compare it with a thermometer: `trayward probe calibrate --reads`.',
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
      'The mat has been commanded off for a quarter of an hour and the root zone still gets warmer; or the sense line shows that its own switch passes although it is off. The mat is held off: that opens the second switch behind it.',
    causes: [
      'its own switch (Q1) failed closed, or a wire of the lead touches minus',
      'both switches of the mat failed closed',
      'sun or a lamp on the tray',
      'warm water was given',
    ],
    next: [
      'Unplug the mat now.',
      'If it was warm and cools now, both its switches have failed: have them replaced before the mat is used again.',
      'If it was cool, its own switch has failed, and nothing but the second one stands behind it: have Q1 and the lead looked at before the mat is used again.',
      'If it was the sun, shade the tray.',
    ],
    quantity: 'temperature',
  },
  'mat-open': {
    title: 'Mat cut off',
    meaning:
      'The mat is asked for heat and gets no current: the sense line shows where it is cut off. It is asked again whenever heat is wanted, and heats as soon as that is mended.',
    causes: [
      'fuse: F2 has blown, or is not in its holder',
      'lead: the plug of the mat is out, its cut-out TC1 has opened, or the mat or its cable is broken',
      'cut-out: the same, of a mat that was hot: TC1 has opened, most likely',
      'switch: Q1 does not close, or the wire to it is off',
    ],
    next: [
      'Lead: is the plug of the mat in? Then, with the supply unplugged, the cut-out TC1: it opens once, by heat, and is replaced when the cause has been found.',
      'Cut-out: unplug the supply, and find out why the mat got so hot before TC1 is replaced.',
      'Fuse: unplug the supply, find out why F2 has blown (a crushed cable, a wet plug), and fit one of the same rating.',
      'Switch: unplug the supply, then the wire from the controller to Q1, and Q1 itself.',
      'The alarm ends by itself, some seconds after the mat heats again, or a day after heat was last asked for; what is still cut off then is told anew when it is.',
    ],
    quantity: 'mat-open',
  },
} satisfies Partial<Record<AlarmName, Advice>>;
