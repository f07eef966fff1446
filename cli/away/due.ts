/** When things ahead are due, in one way everywhere: by part of the day where the tray decides, by day where hands do. Pure but for the zone of time. */
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { HOUR_MS, HOUR_S } from '../../shared/units/time';
import { FORECAST_LIMITS } from '../forecast/limits';
import type { Fact } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import { aboutText } from './about';
import type { ExpectedDose, HeldDose, Limit, Moment, NextDose } from './model';
import { dayText, whenText } from './when';

export interface DueOptions {
  /** Unix ms where the tray is. */
  readonly nowUnixMs: number;
}

export interface DoseOptions extends DueOptions {
  readonly units: UnitSystem;
}

/** A span in days and hours: a forecast knows no minutes. */
export function spanText(hours: number): string {
  const whole = Math.floor(hours);
  if (whole < 1) return 'less than an hour';
  return formatQuantity('duration', whole * HOUR_S, 'metric');
}

/** When a limit comes or a dose. */
export function dueText(
  { inH, unixMs, by }: Moment & { readonly by?: Limit['by'] },
  { nowUnixMs }: DueOptions,
): string {
  if (inH === 0) return 'now';
  return by === 'hands' ? dayText(unixMs, nowUnixMs) : whenText(unixMs, nowUnixMs);
}

/** `until tomorrow evening`, or for longer than is looked ahead. */
export function untilText(inH: number, { nowUnixMs }: DueOptions): string {
  return inH >= FORECAST_LIMITS.horizonH
    ? `for more than ${spanText(FORECAST_LIMITS.horizonH)}`
    : `until ${whenText(nowUnixMs + inH * HOUR_MS, nowUnixMs)}`;
}

/** `on Wednesday`, `tomorrow`. */
export function onDayText({ unixMs }: Moment, { nowUnixMs }: DueOptions): string {
  const day = dayText(unixMs, nowUnixMs);
  return day === 'today' || day === 'tomorrow' ? day : `on ${day}`;
}

/** `between tonight and tomorrow evening`; one word where both are the same. */
function withinText({ soonest, latest }: ExpectedDose, options: DueOptions): string {
  const from = dueText(soonest, options);
  if (latest === null) return from === 'now' ? 'at any time' : `not before ${from}`;
  const to = dueText(latest, options);
  return from === to ? from : `between ${from} and ${to}`;
}

/** The next dose as a labelled line. */
export function doseFact(dose: NextDose, options: DoseOptions): Fact {
  const label = 'Next dose';
  switch (dose.kind) {
    case 'none':
      return { label, value: `None within ${spanText(FORECAST_LIMITS.horizonH)}` };
    case 'held':
      return { label, value: `None until ${dose.until}`, note: heldNote(dose, options) };
    case 'expected':
      return {
        label,
        value: capitalised(withinText(dose, options)),
        note: [
          `${volumeText(dose, options.units)}, nine times of ten in that time`,
          ...(dose.soonerBy === null
            ? []
            : [`\`trayward mark ${dose.soonerBy}\` may bring it sooner`]),
        ].join('; '),
      };
  }
}

const volumeText = ({ need, ml }: ExpectedDose, units: UnitSystem): string =>
  `${need === 'rescue' ? 'a rescue dose of ' : ''}about ${aboutText(ml, units)}`;

function heldNote({ command, rescue }: HeldDose, options: DoseOptions): string {
  const then = command === null ? [] : [`then \`${command}\``];
  if (rescue === null) return then.join('');
  const when = `${volumeText(rescue, options.units)} if the wool gets too dry first: ${withinText(rescue, options)}`;
  return [...then, when].join('; ');
}
