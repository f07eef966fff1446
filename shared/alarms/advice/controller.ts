/** Advice for the alarms about the controller itself. */
import type { AlarmName } from '../catalogue';
import type { Advice } from './kinds';

export const CONTROLLER_ADVICE = {
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
    meaning:
      'Water runs in as fast as the pump gives it, although the pump is commanded off. It has two switches, and no pin of the controller opens either of them now.',
    causes: ['both switches of the pump (Q2 and Q7) failed closed', 'wiring fault'],
    next: [
      'Pull the plug of the pump now, and lift its tube out of the tray.',
      'Have both switches replaced before the pump is used again.',
    ],
    quantity: 'none',
  },
  'settings-lost': {
    title: 'Settings lost',
    meaning:
      'The controller was in use before, and now it cannot read what it kept of that: the stage, the water given, perhaps calibrations, profile, and which NTCs its probes are. It does not look after the tray any more: mat and pump stay off.',
    causes: [
      'the flash chip fails',
      'the supply broke down while something was written',
      'the flash was erased by another program or image',
    ],
    next: [
      'See to warmth and water of the tray yourself until this is put right.',
      'Pull the journal (`trayward journal pull`): it tells what the tray was given until then.',
      'See what is left (`trayward status`): calibrate scale and pump, load the profile, and mark where the crop is.',
      'Where your probes are not the reference ones, say again which they are (`trayward probe curve`), before anything is heated; `trayward probe check` shows by what they are read.',
      'If it comes again, replace the board.',
    ],
    quantity: 'none',
  },
  'supply-wrong': {
    title: 'Supply of mat and pump wrong',
    meaning:
      'Mat and pump each get their supply through a second switch. It is dead although one of them is asked for, or live although neither is.',
    causes: [
      'dead: the supply unit is unplugged or broken while USB feeds the controller, or fuse F1 has blown',
      'dead while the pump alone is asked for: fuse F3 has blown',
      'dead: a second switch (Q5 of the mat, Q7 of the pump) does not close, or a wire of it or of the sense line is off',
      'live: a second switch has welded; the first ones still switch mat and pump off',
    ],
    next: [
      'Dead: see that the supply unit is plugged in and its lamp is lit; then F1 and the wires, unplugged.',
      'Live: the meter tells which (TP12 for the mat, TP14 for the pump). Have it replaced soon, for nothing stands behind the first one now.',
    ],
    quantity: 'supply',
  },
} satisfies Partial<Record<AlarmName, Advice>>;
