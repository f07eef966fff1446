import { mergeConfig } from 'vitest/config';
import base from '../../../vitest.config.js';

/** The suite's own, with this one file instead. */
const config = mergeConfig(base, {});
config.test = { ...config.test, include: ['tests/keep/fortnight/fortnight.ts'] };
export default config;
