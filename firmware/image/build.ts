/** Builds the flash image: engine, runtime and one script's bytecode, from source. */
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { FLASH_MAP } from '../../shared/board/map';
import { withBootStageCrc } from '../bench/chip/boot-stage';
import { bundleScript } from './bundle';
import { compileAll } from './compile';
import { engineSources } from './engine';
import { boardHeader } from './header';
import { withKeptRealm } from './kept-realm';
import { exclusively } from './lock';
import { type ImagePaths, imagePaths } from './paths';
import { run } from './run';
import {
  BYTECODE_TOOL_SOURCES,
  bytecodeToolFlags,
  CHIP,
  ENGINE_SOURCES,
  engineFlags,
  linkFlags,
  RUNTIME_SOURCES,
  runtimeFlags,
} from './sources';
import type { Symbols } from './symbols';
import { CHIP_CC, CHIP_NM, CHIP_OBJCOPY, HOST_CC } from './toolchain';

export interface BuiltImage {
  /** Flash content from offset 0 on, boot stage CRC in place. */
  readonly bytes: Uint8Array;
  /** Addresses of the image's symbols, for debuggers and figures. */
  readonly symbols: Symbols;
  /** Minified script before it became bytecode, bytes. */
  readonly scriptBytes: number;
  /** The linked program, for `objdump` and `size`. */
  readonly elf: string;
}

async function writeIfChanged(path: string, text: string): Promise<void> {
  const old = await readFile(path, 'utf8').catch(() => null);
  if (old !== text) {
    await writeFile(path, text);
  }
}

async function buildBytecodeTool(paths: ImagePaths, xs: string): Promise<string> {
  const tool = join(paths.objects, 'bytecode');
  const objects = await compileAll({
    compiler: HOST_CC,
    flags: bytecodeToolFlags(xs),
    sources: [
      ...BYTECODE_TOOL_SOURCES.map((name) => `${xs}/sources/${name}.c`),
      join(paths.root, 'firmware/image/bytecode.c'),
    ],
    folder: join(paths.objects, 'host'),
  });
  await run(HOST_CC, [...objects, '-o', tool, '-lm', '-lpthread']);
  return tool;
}

async function chipObjects(paths: ImagePaths, xs: string): Promise<string[]> {
  await mkdir(paths.generated, { recursive: true });
  await writeIfChanged(join(paths.generated, 'board_map.h'), boardHeader());
  const engine = await compileAll({
    compiler: CHIP_CC,
    flags: engineFlags(CHIP, xs, paths.runtime),
    sources: ENGINE_SOURCES.map((name) => `${xs}/sources/${name}.c`),
    folder: join(paths.objects, 'engine'),
  });
  const runtime = await compileAll({
    compiler: CHIP_CC,
    flags: runtimeFlags(CHIP, xs, paths.runtime, paths.generated),
    sources: [
      ...RUNTIME_SOURCES.map((name) => join(paths.runtime, name)),
      ...CHIP.sources.map((name) => join(paths.runtime, CHIP.folder, name)),
    ],
    folder: join(paths.objects, 'runtime'),
  });
  return [...engine, ...runtime];
}

async function readSymbols(elf: string): Promise<Map<string, number>> {
  const { stdout } = await run(CHIP_NM, [elf]);
  const lines = stdout.split('\n').map((line) => line.split(' '));
  return new Map(lines.map(([address = '', , name = '']) => [name, Number.parseInt(address, 16)]));
}

async function link(paths: ImagePaths, xs: string, entry: string, name: string) {
  const folder = join(paths.objects, '..', name);
  await mkdir(folder, { recursive: true });
  const at = (file: string) => join(folder, file);
  const [tool, objects] = [await buildBytecodeTool(paths, xs), await chipObjects(paths, xs)];
  const script = await bundleScript(entry);
  await writeFile(at('script.js'), script);
  await run(tool, ['script.js', 'script.c'], folder);
  const [bytecode = ''] = await compileAll({
    compiler: CHIP_CC,
    flags: runtimeFlags(CHIP, xs, paths.runtime, paths.generated),
    sources: [at('script.c')],
    folder,
  });
  const elf = at('image.elf');
  const flags = linkFlags(CHIP, paths.runtime, FLASH_MAP.image.bytes, at('image.map'));
  await run(CHIP_CC, [...flags, ...objects, bytecode, '-lm', '-o', elf]);
  await run(CHIP_OBJCOPY, ['-O', 'binary', elf, at('image.bin')]);
  const linked = withBootStageCrc(new Uint8Array(await readFile(at('image.bin'))));
  const symbols = await readSymbols(elf);
  return {
    bytes: await withKeptRealm(linked, symbols, folder, paths),
    symbols,
    scriptBytes: Buffer.byteLength(script),
    elf,
  };
}

/**
 * The image that runs `entry` (a script that sets the global `createController`). `name` keeps the
 * products of different entries apart. Needs the toolchain; see `ensureToolchain`.
 */
export async function buildImage(entry?: string, name = 'trayward'): Promise<BuiltImage> {
  const paths = imagePaths();
  return exclusively(paths.objects, async () => {
    const xs = await engineSources(paths.engine);
    return link(paths, xs, entry ?? join(paths.root, 'firmware/image/entry.ts'), name);
  });
}
