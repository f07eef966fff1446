/** Who may write a field is visible in its type: nobody outside a class, and of the run state its owner alone. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Program, parseSync, type Span, Visitor } from 'oxc-parser';
import { describe, expect, it } from 'vitest';

const FIRMWARE = fileURLToPath(new URL('../../firmware', import.meta.url));
/** `.`: what lies in the firmware itself. */
const ROOMS = ['.', 'control', 'guard', 'handlers', 'link', 'sensing', 'storage', 'tick', 'tray'];

/** Types by which something can be written, and the modules that may: its owner, and what opens and keeps it. */
const WRITERS: Readonly<Record<string, readonly string[]>> = {
  Program: ['tray/tray.ts'],
  Progress: ['tick/staging.ts'],
  KnownWeights: ['tick/kept-weights.ts', 'tray/checkpoint.ts', 'tray/open.ts'],
  Watered: ['tick/draining.ts'],
  WaterAccount: ['tick/dose-charges.ts', 'tray/checkpoint.ts', 'tray/run-state.ts'],
  Dosing: ['tick/dose-charges.ts'],
  Proofs: ['tick/dose-proofs.ts'],
  Reservoir: ['tick/feed-store.ts'],
  Service: ['tray/open.ts', 'tray/tray.ts'],
  RunState: ['tray/checkpoint.ts', 'tray/open.ts', 'tray/tray.ts'],
};

/** Where the one run state of a boot is opened, and handed out to the owners of its parts. */
const HANDS_OUT: readonly string[] = ['tick/ticker.ts', 'tray/open.ts'];

const sources = ROOMS.flatMap((room) =>
  readdirSync(join(FIRMWARE, room))
    .filter((name) => name.endsWith('.ts'))
    .map((name) => (room === '.' ? name : `${room}/${name}`)),
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
function writableNames(source: Source): string[] {
  return importedNames(source).filter((name) => name in WRITERS);
}

/** Calls that write into whatever they are given, readonly or not: only a part that the class itself owns. */
function writesAcross({ path, text, program }: Source): string[] {
  const wrong: string[] = [];
  new Visitor({
    CallExpression({ callee, arguments: [into] }) {
      const called = text.slice(callee.start, callee.end);
      if (!/^(?:Object\.(?:assign|definePropert\w+|setPrototypeOf)|Reflect\.\w+)$/.test(called))
        return;
      const target = into === undefined ? '' : text.slice(into.start, into.end);
      if (!/^this\.#\w+$/.test(target)) wrong.push(`${path}: ${called}(${target})`);
    },
  }).visit(program);
  return wrong;
}

/** What takes something writable: TypeScript would let it have a `View` as well. */
interface Takes {
  /** Function, or class by its constructor; and the type that it writes. */
  readonly name: string;
  readonly writes: string;
}

/** Types of parameters, as they are written. */
const typesOf = (params: readonly Span[], text: string): string[] =>
  params.flatMap(({ start, end }) => /: (\w+)$/.exec(text.slice(start, end))?.[1] ?? []);

function takers({ text, program }: Source): { functions: Takes[]; classes: Takes[] } {
  const functions: Takes[] = [];
  const classes: Takes[] = [];
  const add = (to: Takes[], name: string, params: readonly Span[]) => {
    for (const writes of typesOf(params, text)) if (writes in WRITERS) to.push({ name, writes });
  };
  new Visitor({
    FunctionDeclaration({ id, params }) {
      if (id !== null) add(functions, id.name, params);
    },
    VariableDeclarator({ id, init }) {
      if (id.type === 'Identifier' && init?.type === 'ArrowFunctionExpression')
        add(functions, id.name, init.params);
    },
    ClassDeclaration({ id, body }) {
      for (const one of body.body)
        if (id !== null && one.type === 'MethodDefinition' && one.kind === 'constructor')
          add(classes, id.name, one.value.params);
    },
  }).visit(program);
  return { functions, classes };
}

function importedNames({ program }: Source): string[] {
  const names: string[] = [];
  new Visitor({
    ImportSpecifier({ imported }) {
      if (imported.type === 'Identifier') names.push(imported.name);
    },
  }).visit(program);
  return names;
}

function madeNames({ program }: Source): string[] {
  const names: string[] = [];
  new Visitor({
    NewExpression({ callee }) {
      if (callee.type === 'Identifier') names.push(callee.name);
    },
  }).visit(program);
  return names;
}

describe('who may write', () => {
  it('a field of a part of the controller: its own class, and nobody else', () => {
    expect(files.flatMap(openFields)).toEqual([]);
  });

  it('a part of the run state: its owner, and what opens it and keeps it', () => {
    for (const file of files) {
      const wrong = writableNames(file).filter((name) => !WRITERS[name]?.includes(file.path));
      expect({ [file.path]: wrong }).toEqual({ [file.path]: [] });
    }
    const named = new Set(files.flatMap(writableNames));
    expect([...named].sort()).toEqual(Object.keys(WRITERS).sort());
  });

  it('into what it is given: a class, into the part that it owns, and nobody else', () => {
    expect(files.flatMap(writesAcross)).toEqual([]);
  });

  it('through a function that writes a part: whoever may write that part', () => {
    const functions = files.flatMap((file) => takers(file).functions);
    expect(functions.map(({ name }) => name)).toContain('charge');
    for (const file of files) {
      const used = new Set(importedNames(file));
      const wrong = functions.filter(
        ({ name, writes }) => used.has(name) && !WRITERS[writes]?.includes(file.path),
      );
      expect({ [file.path]: wrong }).toEqual({ [file.path]: [] });
    }
  });

  it('as an owner: who is made where the run state is handed out', () => {
    const owners = new Set(files.flatMap((file) => takers(file).classes).map(({ name }) => name));
    expect(owners).toContain('KeptWeights');
    for (const file of files.filter(({ path }) => !HANDS_OUT.includes(path))) {
      const wrong = madeNames(file).filter((name) => owners.has(name));
      expect({ [file.path]: wrong }).toEqual({ [file.path]: [] });
    }
  });

  it('would be found out otherwise', () => {
    const text = `import type { Progress as Way } from '../tray/run-state';
      class Open { #a = 1; readonly b = 2; c = 3; constructor(readonly d: Way, public e: number, f: number, private g = 4) {} }`;
    const open = parsed('open.ts', text);
    expect(openFields(open)).toEqual(['open.ts: c', 'open.ts: e', 'open.ts: g']);
    expect(writableNames(open)).toEqual(['Progress']);
    const across = parsed(
      'across.ts',
      `Object.assign(tray.run.progress, { stage: 1 }); Object.defineProperty(account, 'stageMl', {});
      Reflect.set(run.dosing, 'rescued', false); class Owner { #own; f() { Object.assign(this.#own, {}); Object.keys(x); } }`,
    );
    expect(writesAcross(across)).toEqual([
      'across.ts: Object.assign(tray.run.progress)',
      'across.ts: Object.defineProperty(account)',
      'across.ts: Reflect.set(run.dosing)',
    ]);
    const takes = parsed(
      'takes.ts',
      `export function age(ms: number, { stage }: Progress): void {} const fill = (r: Reservoir) => {};
      function see(p: View<Progress>): void {} class Owner { constructor(readonly a: Tray, b: Dosing) {} } new Owner(t, d);`,
    );
    expect(takers(takes)).toEqual({
      functions: [
        { name: 'age', writes: 'Progress' },
        { name: 'fill', writes: 'Reservoir' },
      ],
      classes: [{ name: 'Owner', writes: 'Dosing' }],
    });
    expect(madeNames(takes)).toEqual(['Owner']);
  });
});
