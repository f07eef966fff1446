/** As `shared/bytes/written.ts`, by the runtime. */
import './native';

export function writtenBytes(bytes: Uint8Array): number {
  return native.writtenBytes(bytes);
}
