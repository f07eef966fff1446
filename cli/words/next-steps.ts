/** What to do next when the controller refuses: by its reason, for the refusals a grower meets. */

const STATUS = 'See `trayward status`.';
const LOAD =
  '`trayward profile load FILE` loads one; `trayward profile new` writes one to start from.';
const SCALE = '`trayward scale check` shows what the scale sees.';
const WEIGHT = 'Give it with its unit, such as --weight 4420g.';
const ALARMS = '`trayward alarm list` shows the alarms that stand, and what to do.';

const NEXT: Readonly<Record<string, string>> = {
  'no-profile': LOAD,
  'not-sown': 'When seed is in: `trayward mark sown`.',
  'last-stage': '`trayward profile read` shows the stages.',
  'scale-uncalibrated': 'Do `trayward scale calibrate` first.',
  'scale-not-ready': `${SCALE} A weight you know is given with --weight 4420g.`,
  'scale-faulty': SCALE,
  'scale-unstable': SCALE,
  'scale-empty': SCALE,
  'zero-too-far': SCALE,
  'weight-implausible': WEIGHT,
  'dry-weight-unknown': `\`trayward mark dry\`, with the dry tray on the scale. ${LOAD}`,
  'no-water-gained': SCALE,
  'wool-holds-water': WEIGHT,
  'less-than-wool-holds': WEIGHT,
  'no-such-calibration': '`trayward scale check --history` lists those that are kept.',
  'pump-busy': STATUS,
  'held-by-alarm': ALARMS,
  'mat-held-by-alarm': ALARMS,
  'curve-implausible': '`trayward probe check` shows what both read.',
  restarting: 'Wait a few seconds, then try again.',
  'usb-alone': '`trayward find` shows the ports that answer; give the USB one with --port.',
  'alarm-normal': ALARMS,
  'still-present': ALARMS,
  'wrong-crc': 'Load it again; the old profile runs on meanwhile.',
  'image-damaged': 'Load it again; the old profile runs on meanwhile.',
};

/** The next step after a refusal, for people. */
export function nextStep(reason: string | null): string {
  return NEXT[reason ?? ''] ?? 'See `trayward status` and `trayward alarm list`.';
}
