/** What both sides and both languages share is written once, and reaches each of them. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { boardHeader } from '../../firmware/image/header';
import { UART_BAUD } from '../../shared/board/map';

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
