import type { Plugin as EsbuildPlugin } from 'esbuild';
import type { Plugin as VitestPlugin } from 'vitest/config';

export function readCropFiles(folder?: string): Readonly<Record<string, unknown>>;
export const cropFiles: EsbuildPlugin;
export const cropFilesInTests: VitestPlugin;
