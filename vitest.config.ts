import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // A property test may replay hours of simulated time; nothing here waits on the wall clock.
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
