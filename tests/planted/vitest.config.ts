import { defineConfig } from 'vitest/config';

/** Two at a time: each is a Vitest of its own. */
export default defineConfig({
  test: {
    include: ['tests/planted/planted.ts'],
    reporters: ['verbose'],
    maxConcurrency: 2,
    testTimeout: 600_000,
  },
});
