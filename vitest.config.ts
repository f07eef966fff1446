import { defineConfig } from 'vitest/config';

/** As `cli/build.mjs` bundles them. */
const yamlAsText = {
  name: 'yaml-as-text',
  enforce: 'pre',
  transform: (text: string, id: string) =>
    id.endsWith('.yaml') ? { code: `export default ${JSON.stringify(text)};`, map: null } : null,
} as const;

export default defineConfig({
  plugins: [yamlAsText],
  test: {
    globalSetup: ['tests/global-setup.ts'],
    include: ['tests/**/*.test.ts'],
    // A property test may replay hours of simulated time; nothing here waits on the wall clock.
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
