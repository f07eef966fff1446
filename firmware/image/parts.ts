/** How large the image's parts are, in flash and in RAM, from its symbols and sections. */
import type { BuiltImage } from './build';
import { run } from './run';
import { addressOf } from './symbols';
import { CHIP_SIZE } from './toolchain';

export interface ImagePart {
  readonly name: string;
  readonly bytes: number;
}

async function sectionSizes(elf: string): Promise<Map<string, number>> {
  const { stdout } = await run(CHIP_SIZE, ['-A', elf]);
  const rows = stdout.split('\n').map((line) => line.trim().split(/\s+/));
  return new Map(rows.map(([name = '', bytes = '']) => [name, Number(bytes)]));
}

/** Sizes of the parts, in the order they are shown. Needs the toolchain. */
export async function imageParts(image: BuiltImage): Promise<ImagePart[]> {
  const sections = await sectionSizes(image.elf);
  const size = (name: string) => sections.get(name) ?? 0; // the linker leaves out an empty one
  const symbol = (name: string) => addressOf(image.symbols, name);
  return [
    { name: 'flash: engine and runtime', bytes: size('.text') + size('.boot2') },
    { name: 'flash: firmware bytecode', bytes: size('.bytecode') },
    { name: 'flash: initial values', bytes: size('.data') },
    { name: 'flash: whole image', bytes: image.bytes.length },
    { name: 'script before bytecode, minified', bytes: image.scriptBytes },
    { name: 'RAM: variables', bytes: size('.data') + size('.bss') + size('.no_init') },
    {
      name: 'RAM: engine memory',
      bytes: symbol('engine_memory_end') - symbol('engine_memory_start'),
    },
    { name: 'RAM: C stack', bytes: symbol('stack_top') - symbol('stack_bottom') },
  ];
}
