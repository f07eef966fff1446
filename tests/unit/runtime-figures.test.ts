import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { FIGURES } from '../../firmware/image/figures';

describe('what the runtime measures about itself', () => {
  it('is read in the order in which its header has it', () => {
    const header = readFileSync('firmware/runtime/figures.h', 'utf8');
    const words = [...header.matchAll(/uint32_t (\w+);/g)].map(([, name = '']) =>
      name.replace(/_(\w)/g, (_, letter: string) => letter.toUpperCase()),
    );
    expect(words).toEqual([...FIGURES]);
  });
});
