/** The firmware's TypeScript as one classic script for the board's engine. */
import { basename, dirname, join } from 'node:path';
import { build, type Plugin } from 'esbuild';
import { projectRoot } from './paths';
import { LEFT_OUT } from './sources';

/** Modules of `shared/bytes` that the runtime does in C. */
const NATIVE_MODULES = ['crc32', 'base64', 'utf8', 'little-endian', 'written'];

/** Puts our native modules in place of their namesakes, for everybody but themselves. */
function nativeBytes(root: string): Plugin {
  const replaced = join(root, 'shared/bytes');
  const native = join(root, 'firmware/image/native');
  return {
    name: 'native-bytes',
    setup({ onResolve }) {
      const filter = new RegExp(`/(${NATIVE_MODULES.join('|')})$`);
      onResolve({ filter }, ({ path, resolveDir, importer }) => {
        const wanted = join(resolveDir, path);
        if (dirname(wanted) !== replaced || dirname(importer) === native) return null;
        return { path: join(native, `${basename(wanted)}.ts`) };
      });
    },
  };
}

/** A global that the engine of the image lacks becomes this and its name: a use of it is found in what was bundled. */
const LACKS = 'the_engine_lacks_';
const LACKING = Object.fromEntries(
  Object.values(LEFT_OUT)
    .flat()
    .map((name) => [name, LACKS + name]),
);

/**
 * Bundles `entry` into one function, whose names the engine finds by place; names at the top of a
 * script it would look up one by one, at every use. Minified for the names: a quarter of them go, which
 * spares 9.5 KB of the image, and more would not fit into `NAMES_MAX` of `realm.c`. Neither
 * memory nor ticks gain by it. Throws with the name of a global that the image's engine lacks.
 */
export async function bundleScript(entry: string): Promise<string> {
  const root = projectRoot();
  const { outputFiles } = await build({
    entryPoints: [entry],
    bundle: true,
    format: 'iife',
    target: 'es2022',
    platform: 'neutral',
    minify: true,
    charset: 'utf8',
    legalComments: 'none',
    banner: { js: '"use strict";' },
    define: LACKING,
    plugins: [nativeBytes(root)],
    write: false,
    logLevel: 'silent',
  });
  const script = outputFiles[0]?.text ?? '';
  const lacking = new RegExp(`${LACKS}(\\w+)`).exec(script)?.[1];
  if (lacking !== undefined) {
    throw new Error(
      `The script uses ${lacking}, which the image's engine lacks: do without, or take it out of LEFT_OUT in sources.ts.`,
    );
  }
  return script;
}
