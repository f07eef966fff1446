/** Who may write a field is visible in its type: nobody outside a class, and of the run state its owner alone. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
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
const parsed = (path: string, text: string): ts.SourceFile =>
  ts.createSourceFile(path, text, ts.ScriptTarget.ES2022, true);
const files = sources.map((path) => parsed(path, readFileSync(join(FIRMWARE, path), 'utf8')));

function nodesOf(node: ts.Node): ts.Node[] {
  const below: ts.Node[] = [];
  node.forEachChild((child) => {
    below.push(child, ...nodesOf(child));
  });
  return below;
}

/** A field of a class: declared in its body, or as a parameter of its constructor. */
const isField = (node: ts.Node): node is ts.PropertyDeclaration | ts.ParameterDeclaration =>
  ts.isPropertyDeclaration(node) ||
  (ts.isParameter(node) && ts.isParameterPropertyDeclaration(node, node.parent));

/** Fields that anybody may write who has the object. */
function openFields(file: ts.SourceFile): string[] {
  return nodesOf(file)
    .filter(isField)
    .filter(({ name }) => !ts.isPrivateIdentifier(name))
    .filter(
      (field) =>
        !ts.getModifiers(field)?.some(({ kind }) => kind === ts.SyntaxKind.ReadonlyKeyword),
    )
    .map(({ name }) => `${file.fileName}: ${name.getText(file)}`);
}

/** Names that a module imports by which something can be written. */
function writableNames(file: ts.SourceFile): string[] {
  return nodesOf(file)
    .filter((node) => ts.isImportSpecifier(node))
    .map(({ name, propertyName }) => (propertyName ?? name).text)
    .filter((name) => name in WRITERS);
}

describe('who may write', () => {
  it('a field of a part of the controller: its own class, and nobody else', () => {
    // One alarm is a record of its bank, which tells it to all others as `AlarmRecord`.
    const others = files.filter(({ fileName }) => fileName !== 'guard/alarm.ts');
    expect(others.flatMap(openFields)).toEqual([]);
  });

  it('a part of the run state: its owner, and what opens it and keeps it', () => {
    for (const file of files) {
      const wrong = writableNames(file).filter((name) => !WRITERS[name]?.includes(file.fileName));
      expect({ [file.fileName]: wrong }).toEqual({ [file.fileName]: [] });
    }
    const named = new Set(files.flatMap(writableNames));
    expect([...named].sort()).toEqual(Object.keys(WRITERS).sort());
  });

  it('would be found out otherwise', () => {
    const text = `import type { Progress as Way } from '../tray/run-state';
      class Open { #a = 1; readonly b = 2; c = 3; constructor(readonly d: Way, public e: number, f: number) {} }`;
    const open = parsed('open.ts', text);
    expect(openFields(open)).toEqual(['open.ts: c', 'open.ts: e']);
    expect(writableNames(open)).toEqual(['Progress']);
  });
});
