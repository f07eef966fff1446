/** SHA-256 (FIPS 180-4), 32 bytes. */
import { createHash } from 'node:crypto';

export const sha256 = (bytes: Uint8Array): Uint8Array =>
  new Uint8Array(createHash('sha256').update(bytes).digest());
