/** A crop by the name that was typed. */
import type { Crop } from '../../shared/crops/library/crop';
import { cropNamed } from '../../shared/crops/library/library';
import { usage } from '../failure';
import type { Reader } from './options';

/** The crop; throws a usage error with the one that was probably meant. `flag`: the option it was typed for; else empty. */
export function cropOf(name = '', flag = ''): Crop {
  const found = cropNamed(name);
  if (found.ok) return found.value;
  throw usage(
    flag === '' ? found.why : `${flag}: ${found.why}`,
    '`trayward crop list` names the crops there are. For another one, take the crop most like it.',
    'no-such-crop',
  );
}

/** A crop of the library, or null. */
export const crop: Reader<Crop | null> = (typed, flag) =>
  typeof typed === 'string' ? cropOf(typed, flag) : null;
