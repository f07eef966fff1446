/** The shapes in words: `cli/RESULTS.md`, which tells programs what to expect. */
import * as z from 'zod';
import { DETAILS, RESULTS, WATCH_LINES } from './commands';

/** A JSON Schema, as far as our shapes use it. */
interface Schema {
  readonly $ref?: string;
  readonly anyOf?: readonly Schema[];
  readonly allOf?: readonly Schema[];
  readonly type?: string | readonly string[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly items?: Schema;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly additionalProperties?: unknown;
  readonly description?: string;
  readonly definitions?: Readonly<Record<string, Schema>>;
}

const WIDTH = 100;

/** A shape as JSON Schema (draft 7). Unknown fields are refused, so that none stays undocumented. */
export function jsonSchemaOf(shape: z.ZodType): Schema {
  return z.toJSONSchema(shape, { target: 'draft-7' }) as Schema;
}

const quoted = (value: unknown): string => (typeof value === 'string' ? `'${value}'` : `${value}`);

/** The alternatives of a shape that is no object or list. */
function alternatives(schema: Schema, indent: string): readonly string[] {
  if (schema.anyOf === undefined) {
    return schema.enum?.map(quoted) ?? [schema.type ?? 'unknown'].flat();
  }
  const objects = schema.anyOf.filter(({ type }) => type === 'object').length;
  const inner = objects > 1 ? `${indent}    ` : indent;
  return schema.anyOf.map((one) => shapeText(one, inner));
}

/** Alternatives in rows, each as long as it may be. */
function inRows(options: readonly string[], indent: string): readonly string[] {
  const rows: string[] = [];
  for (const option of options) {
    const longer = `${rows.at(-1)} | ${option}`;
    const fits = rows.length > 0 && !longer.includes('\n') && indent.length + longer.length < WIDTH;
    if (fits) rows[rows.length - 1] = longer;
    else rows.push(option);
  }
  return rows;
}

function eitherOf(options: readonly string[], indent: string): string {
  const line = options.join(' | ');
  const objects = options.filter((option) => option.includes('\n')).length;
  if (objects === 1 || (objects === 0 && indent.length + line.length <= WIDTH)) return line;
  const inner = `${indent}  | `;
  return inRows(options, inner)
    .map((row) => `\n${inner}${row}`)
    .join('');
}

function objectText(schema: Schema, indent: string): string {
  const fields = Object.entries(schema.properties ?? {});
  const more = schema.additionalProperties === false ? [] : ['...'];
  const inner = fields.map(([name, field]) =>
    `${name}: ${shapeText(field, `${indent}  `)}`.replace(': \n', ':\n'),
  );
  const line = `{ ${[...inner, ...more].join(', ')} }`;
  const isPlain = fields.every(([, field]) => field.description === undefined);
  if (isPlain && !line.includes('\n') && indent.length + line.length <= WIDTH) return line;
  const lines = inner.map((text, i) => {
    const note = fields[i]?.[1].description;
    return `${indent}  ${text},${note === undefined ? '' : ` // ${note}`}`;
  });
  return ['{', ...lines, ...more.map((text) => `${indent}  ${text}`), `${indent}}`].join('\n');
}

/** A shape in the notation of TypeScript. */
function shapeText(schema: Schema, indent = ''): string {
  if (schema.$ref !== undefined) return schema.$ref.replace(/^.*\//, '');
  if (schema.allOf !== undefined)
    return schema.allOf.map((one) => shapeText(one, indent)).join(' & ');
  if (schema.const !== undefined) return quoted(schema.const);
  if (schema.type === 'array') {
    const item = shapeText(schema.items ?? {}, indent);
    return item.includes(' | ') && !item.startsWith('{') ? `(${item})[]` : `${item}[]`;
  }
  if (schema.type === 'object') return objectText(schema, indent);
  return eitherOf(alternatives(schema, indent), indent);
}

/** One entry: what it belongs to as a comment, then its shapes. */
function entryText(title: string, shapes: readonly z.ZodType[]): string {
  const texts = shapes.map((shape) => {
    const schema = jsonSchemaOf(shape);
    // A name stands for its own description.
    const note = schema.$ref === undefined ? schema.description : undefined;
    const text = shapeText(schema);
    return note === undefined ? text : `${text} // ${note}`;
  });
  return [`// ${title}`, ...texts].join('\n');
}

/** Every named shape that the others speak of, by name. */
function namedShapes(shapes: readonly z.ZodType[]): ReadonlyMap<string, Schema> {
  const named = new Map<string, Schema>();
  for (const shape of shapes) {
    for (const [name, schema] of Object.entries(jsonSchemaOf(shape).definitions ?? {})) {
      named.set(name, schema);
    }
  }
  return new Map([...named].sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** The whole document. */
export function resultsDocument(): string {
  const all = [...Object.values(RESULTS).flat(), ...WATCH_LINES, ...Object.values(DETAILS)];
  const commands = Object.entries(RESULTS).map(([name, shapes]) => entryText(name, shapes));
  const details = Object.entries(DETAILS).map(([reason, shape]) => entryText(reason, [shape]));
  const named = [...namedShapes(all)].map(([name, schema]) => {
    const note = schema.description === undefined ? '' : `// ${schema.description}\n`;
    return `${note}type ${name} = ${shapeText(schema)}`.replace('= \n', '=\n');
  });
  const block = (texts: readonly string[]): string => `\`\`\`\n${texts.join('\n\n')}\n\`\`\``;
  return `# Results of \`trayward --json\`

Made from \`cli/results/\` by \`npx vitest run tests/cli/results.test.ts -u\`; the tests hold every command to
it. What is common to all of them is in \`cli/README.md\`.

## \`result\`, by command

Several shapes: it depends on the options, or there is more than one line.

${block(commands)}

## Lines of \`watch\` before the last, each bare

${block([entryText('a reading, or what happens to the line', WATCH_LINES)])}

## Each of \`error.details\`, by \`error.reason\`

${block(details)}

## What they are made of

${block(named)}
`;
}
