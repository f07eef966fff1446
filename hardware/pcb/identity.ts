/** Identifiers of things in KiCad's files: from their names, so that a file changes only where the board does. */
import { createHash } from 'node:crypto';
import { type Form, q } from './expression';

/** A UUID in the form of RFC 9562 version 8, the same for the same names. */
export function identity(...names: readonly string[]): string {
  const hex = createHash('sha256')
    .update(['trayward', ...names].join('\u0000'))
    .digest('hex');
  const variant = ((Number.parseInt(hex.slice(16, 17), 16) & 3) | 8).toString(16);
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    `8${hex.slice(13, 16)}`,
    `${variant}${hex.slice(17, 20)}`,
    hex.slice(20, 32),
  ].join('-');
}

export const uuid = (...names: readonly string[]): Form => ['uuid', q(identity(...names))];
