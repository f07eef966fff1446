/** What both sides and both languages share is written once, and reaches each of them. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { boardHeader, replyRoomBytes } from '../../firmware/image/header';
import { ALARMS } from '../../shared/alarms/catalogue';
import { FLASH_BYTES, FLASH_MAP, FLASH_SECTOR_BYTES, UART_BAUD } from '../../shared/board/map';
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { LINK_LIMITS } from '../../shared/link/methods';

const MAP = 'shared/board/map.ts';
/** A number of that many bits per second, as C or as TypeScript writes it; as bytes, low one first. */
const SPEED = /\b115_?200|\b0x0*1c200\b|0xc2, 0x0*1\b/i;

function sourcesIn(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ts|c|h|S)$/.test(name))
    .map((name) => join(folder, name));
}

describe('the speed of the serial line', () => {
  it('is written in the map of the board and nowhere else', () => {
    const sources = ['shared', 'firmware', 'cli', 'hardware'].flatMap(sourcesIn);
    expect(sources.length).toBeGreaterThan(200);
    expect(sources.filter((path) => SPEED.test(readFileSync(path, 'utf8')))).toEqual([MAP]);
  });

  it('reaches the runtime in the header it is built with', () => {
    expect(boardHeader()).toContain(`#define LINK_UART_BAUD ${UART_BAUD}u\n`);
  });
});

describe('the flash', () => {
  it('is shared out in whole sectors, one region behind the other, to its end', () => {
    let end = 0;
    for (const { offset, bytes } of Object.values(FLASH_MAP)) {
      expect(offset).toBe(end);
      expect(bytes % FLASH_SECTOR_BYTES).toBe(0);
      end += bytes;
    }
    expect(end).toBe(FLASH_BYTES);
  });
});

describe('a probe', () => {
  it('is on the pin of its ADC channel: GPIO26 has the first (RP2040 data sheet 4.9)', () => {
    for (const name of PROBE_NAMES) expect(PROBES[name].gpio).toBe(26 + PROBES[name].channel);
  });
});

describe('the room that a request waits for', () => {
  it('holds the status with every alarm there is', () => {
    expect(replyRoomBytes(ALARMS)).toBeLessThanOrEqual(LINK_LIMITS.lineToHostBytes);
  });

  it('is refused where no line could fill it: the board would answer nothing any more', () => {
    const more = Array.from({ length: 99 }, (_, i) => [`one-more-alarm-${i}`, { latched: true }]);
    const many = Object.fromEntries(more);
    expect(() => replyRoomBytes(many)).toThrow(
      /all 99 alarms .* no request would ever be answered/,
    );
  });
});
