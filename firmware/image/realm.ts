/**
 * Freezes the realm: runs the linked image once in the emulated chip, with the flash behind it open
 * to stores, and returns the image with what `firmware/runtime/realm.c` made there.
 */
import { FLASH_START } from '../../shared/board/map';
import { Chip, flashWithImage } from '../bench/chip/chip';
import { REALM_STATE } from './realm-state';
import { addressOf, type Symbols } from './symbols';

/** It takes some 300 ms. */
const LIMIT_MS = 2000;

/** The image with its realm frozen; throws a sentence when it cannot be. `symbols`: the program's. */
export function withFrozenRealm(image: Uint8Array, symbols: Symbols): Uint8Array {
  const from = addressOf(symbols, 'realm_start');
  const to = addressOf(symbols, 'realm_end');
  const chip = new Chip({ flash: flashWithImage(image), writableFlash: { from, to } });
  const { bytes } = chip.flash;
  const start = from - FLASH_START;
  const view = new DataView(bytes.buffer, bytes.byteOffset + start);
  view.setUint32(0, REALM_STATE.wanted, true);
  chip.powerOn();
  const state = () => view.getUint32(0, true);
  chip.runUntil(() => state() !== REALM_STATE.wanted, LIMIT_MS);
  if (state() === REALM_STATE.failed) {
    throw new Error('The script threw when it was run for the first time, at the build.');
  }
  if (state() === REALM_STATE.hasRegexp) {
    throw new Error(
      'A regular expression is made at the top of a module: make it where it is used.',
    );
  }
  if (state() !== REALM_STATE.frozen) {
    throw new Error(
      `The realm did not fit (the engine gave up ${chip.starts.at(-1)?.scratch[1]}): by 1 the part of flash, raise REALM_BYTES in link.ld or NAMES_MAX in realm.c; by 2 its stack there.`,
    );
  }
  return bytes.slice(0, to - FLASH_START);
}
