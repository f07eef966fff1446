/** Who may write a field is visible in its type: nobody outside a class, and of the run state its owner alone. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Program, parseSync, type Span, Visitor } from 'oxc-parser';
import { describe, expect, it } from 'vitest';

const FIRMWARE = fileURLToPath(new URL('../../firmware', import.meta.url));
const ROOMS = ['control', 'guard', 'handlers', 'link', 'sensing', 'storage', 'tick', 'tray'];

/** Types by which something can be written, and the modules that may: its owner, and what opens and keeps it. */
const WRITERS: Readonly<Record<string, readonly string[]>> = {
  Alarm: ['guard/alarm-bank.ts'],
  Program: ['tray/tray.ts'],
  Progress: ['tick/staging.ts'],
  KnownWeights: ['tick/weights.ts', 'tray/checkpoint.ts'],
  WaterAccount: ['tick/dose-charges.ts', 'tray/run-state.ts'],
  Dosing: ['tick/dose-charges.ts'],
  Proofs: ['tick/watering.ts'],
  Reservoir: ['tick/feed-store.ts'],
  Service: ['tray/open.ts', 'tray/tray.ts'],
  RunState: ['tray/checkpoint.ts', 'tray/open.ts', 'tray/tray.ts'],
};

const sources = ROOMS.flatMap((room) =>
  readdirSync(join(FIRMWARE, room))
    .filter((name) => name.endsWith('.ts'))
    .map((name) => `${room}/${name}`),
);
interface Source {
  readonly path: string;
  readonly text: string;
  readonly program: Program;
}

function parsed(path: string, text: string): Source {
  const { program, errors } = parseSync(path, text);
  if (errors.length > 0) throw new Error(`${path}: ${errors[0]?.message}`);
  return { path, text, program };
}
const files = sources.map((path) => parsed(path, readFileSync(join(FIRMWARE, path), 'utf8')));

/** Fields that anybody may write who has the object: declared in a class, or as parameters of its constructor. */
function openFields({ path, text, program }: Source): string[] {
  const textOf = ({ start, end }: Span): string => text.slice(start, end).replace(/\W.*/s, '');
  const open: string[] = [];
  new Visitor({
    PropertyDefinition({ key, readonly }) {
      if (key.type !== 'PrivateIdentifier' && !readonly) open.push(`${path}: ${textOf(key)}`);
    },
    TSParameterProperty({ parameter, readonly }) {
      const name = parameter.type === 'AssignmentPattern' ? parameter.left : parameter;
      if (!readonly) open.push(`${path}: ${textOf(name)}`);
    },
  }).visit(program);
  return open;
}

/** Names that a module imports by which something can be written. */
function writableNames({ program }: Source): string[] {
  const names: string[] = [];
  new Visitor({
    ImportSpecifier({ imported }) {
      if (imported.type === 'Identifier') names.push(imported.name);
    },
  }).visit(program);
  return names.filter((name) => name in WRITERS);
}

describe('who may write', () => {
  it('a field of a part of the controller: its own class, and nobody else', () => {
    // One alarm is a record of its bank, which tells it to all others as `AlarmRecord`.
    const others = files.filter(({ path }) => path !== 'guard/alarm.ts');
    expect(others.flatMap(openFields)).toEqual([]);
  });

  it('a part of the run state: its owner, and what opens it and keeps it', () => {
    for (const file of files) {
      const wrong = writableNames(file).filter((name) => !WRITERS[name]?.includes(file.path));
      expect({ [file.path]: wrong }).toEqual({ [file.path]: [] });
    }
    const named = new Set(files.flatMap(writableNames));
    expect([...named].sort()).toEqual(Object.keys(WRITERS).sort());
  });

  it('would be found out otherwise', () => {
    const text = `import type { Progress as Way } from '../tray/run-state';
      class Open { #a = 1; readonly b = 2; c = 3; constructor(readonly d: Way, public e: number, f: number, private g = 4) {} }`;
    const open = parsed('open.ts', text);
    expect(openFields(open)).toEqual(['open.ts: c', 'open.ts: e', 'open.ts: g']);
    expect(writableNames(open)).toEqual(['Progress']);
  });
});
