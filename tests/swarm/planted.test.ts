/** The bugs that the swarm has to find can be planted: `npm run swarm -- --planted` plants them. */
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { timesIn } from '../planted/bug';
import { PLANTED } from './planted';

it.each(PLANTED)('$sentence', ({ file, find, replace }) => {
  expect(timesIn(readFileSync(file, 'utf8'), find)).toBe(1);
  expect(replace).not.toBe(find);
});
