/** The lid in a grower's words. */
import { LID_PLACES, type LidPlace } from '../../shared/profile/profile';

/** How the lid is, as a grower says it: `vents open` for `vents-open`. */
export const lidText = (lid: string): string => lid.replaceAll('-', ' ');

/** What stands in the journal where somebody marked the lid. */
export const lidNote = (place: LidPlace): string => `lid ${lidText(place)}`;

/** The place that such a note tells; null of any other note. */
export const lidOfNote = (text: string): LidPlace | null =>
  LID_PLACES.find((place) => text === lidNote(place)) ?? null;
