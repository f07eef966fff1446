/** As `shared/bytes/base64.ts`: towards the program by the runtime; what comes from it is short. */
import './native';

export { fromBase64 } from '../../../shared/bytes/base64';

export function toBase64(bytes: Uint8Array, start = 0, end = bytes.length): string {
  return native.toBase64(bytes, start, end);
}
