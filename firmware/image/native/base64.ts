/** As `shared/bytes/base64.ts`, by the runtime. */
import './native';

export function toBase64(bytes: Uint8Array, start = 0, end = bytes.length): string {
  return native.toBase64(bytes, start, end);
}

export function fromBase64(text: string): Uint8Array | null {
  const bytes = new Uint8Array(Math.floor(text.length / 4) * 3);
  const size = native.fromBase64(text, bytes);
  return size < 0 ? null : bytes.slice(0, size);
}
