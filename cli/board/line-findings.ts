/** What the sense line told of the supplies of mat and pump, and of the way through the mat, as findings. Pure. */
import type { MatTrouble } from './bench';
import { type Finding, wrong } from './finding';

/** Nothing behind a second switch while its output was asked for: step of the check, and what to look at. */
export const noSupply = (step: 'pump' | 'mat'): Finding =>
  wrong(
    step,
    `Behind the second switch of the ${step} there is no supply, though it was asked for.`,
    step === 'mat'
      ? 'Is the supply unit plugged in, and its lamp lit? Then F1, and W13, W46 and W47, unplugged.'
      : 'Is the supply unit plugged in, and its lamp lit? Then F1 and F3, and W14, W47 and W48, unplugged.',
  );

/** The supply of mat and pump is wrong before anything was asked of it. */
export const supplyLive = (step: 'pump' | 'mat'): Finding =>
  wrong(
    step,
    'Behind a second switch there is a supply, though neither mat nor pump was asked for: that switch has welded, or is bridged.',
    'Unplug the supply. Steps 2.7 and 2.9 of the build guide find which part it is; nothing stands behind the first switches until then.',
  );

/** What the sense line told of the mat while it was asked for. */
export const MAT_TROUBLES: Readonly<Record<MatTrouble, Finding>> = {
  dead: noSupply('mat'),
  fuse: wrong(
    'mat',
    'The mat gets no current: its fuse is open.',
    'Is F2 in its holder? If it has blown, unplug the supply and find out why; then one of the same rating.',
  ),
  lead: wrong(
    'mat',
    'The mat gets no current: its lead is open behind the fuse.',
    'Is the plug of the mat in? Then, unplugged: the cut-out TC1 (it opens once, and is replaced), the cable and the mat.',
  ),
  cutOut: wrong(
    'mat',
    'The mat gets no current: it was hot, and its lead is open behind the fuse. Its cut-out has opened, most likely.',
    'Unplug the supply and find out why it got so hot; then the cut-out TC1, which opens once and is replaced.',
  ),
  switch: wrong(
    'mat',
    'The mat gets no current: it is connected, and its own switch does not close.',
    'Unplugged: the wire from the controller to Q1, and Q1 itself.',
  ),
  welded: wrong(
    'mat',
    "The mat's own switch passes although it is off; the second one switches the mat off.",
    'Unplug the supply. Does a wire of the mat touch minus? Then Q1: nothing stands behind the second switch until then. When it is put right: `trayward alarm mended mat-stuck-on`, and check again.',
  ),
};

/** Its own switch was found welded before heat was asked for. */
export const matWelded = (): Finding => MAT_TROUBLES.welded;
