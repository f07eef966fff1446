/** The model of a tray by the newest journal that there is of it. */
import type { Context } from '../context';
import { type Record, recordOf } from '../explain/record';
import { withSoundTimes } from '../explain/time-line';
import { dateEntries } from '../journal/dating';
import { type KeptJournal, newestJournal } from '../journal/newest';
import { type TrayModel, trayModelOf } from './tray';

export interface KeptTray {
  readonly kept: KeptJournal;
  readonly record: Record;
  readonly model: TrayModel;
}

export async function keptTray(
  context: Context,
  asked: { readonly store: string | null; readonly controller: string | null },
): Promise<KeptTray> {
  const kept = await newestJournal(context, asked);
  const life = kept.lives.filter(({ entries }) => entries.length > 0).at(-1);
  const dated = life === undefined ? [] : dateEntries(life.entries, life.life);
  const record = recordOf(withSoundTimes(dated), kept.profiles);
  return { kept, record, model: trayModelOf(record) };
}

/** What to do where the mat cannot be told yet. */
export const ASK_AGAIN =
  'Ask again after a day or two on the mat, in a room that is colder than the band.';
