/** When on its day a calendar shows a task: `--at 08:00 --zone Europe/Berlin`, or the whole day. */
import { typedText } from '../arguments/options';
import { usage } from '../failure';
import { isZone, type TimeOfDay } from './calendar-file';

export const TIME_OPTIONS = { at: typedText, zone: typedText };

const EXAMPLE = 'Write --at 08:00, and where it is not this laptop’s: --zone Europe/Berlin.';

/** Throws a usage error for what is no time or no zone. */
export function timeOfDay(options: {
  readonly at: string | null;
  readonly zone: string | null;
}): TimeOfDay {
  const { at, zone: typed } = options;
  if (at === null) {
    if (typed === null) return { kind: 'all-day' };
    throw usage('--zone needs --at: a whole day is the same wherever it is read.', EXAMPLE);
  }
  const [, hour = '', minute = ''] = /^([01]?\d|2[0-3]):([0-5]\d)$/.exec(at) ?? [];
  if (minute === '') throw usage(`--at ${at} is no time of day.`, EXAMPLE, 'not-a-time');
  const zone = typed ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (isZone(zone)) return { kind: 'at', minute: Number(hour) * 60 + Number(minute), zone };
  throw usage(
    `${zone} is no time zone that calendars know.`,
    'Name one as the tz database does: Europe/Berlin, America/New_York.',
    'not-a-zone',
  );
}
