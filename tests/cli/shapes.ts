/** Holds what commands print with `--json` to the shapes that are documented. */
import { Ajv, type ValidateFunction } from 'ajv';
import * as z from 'zod';
import { DETAILS, RESULTS, WATCH_LINES } from '../../cli/results/commands';
import { jsonSchemaOf } from '../../cli/results/document';

const ajv = new Ajv({ allErrors: true, allowUnionTypes: true });

const failure = z.object({
  kind: z.enum([
    'usage',
    'invalid',
    'refused',
    'failed',
    'no-controller',
    'interrupted',
    'internal',
  ]),
  reason: z.string(),
  message: z.string(),
  next: z.string(),
  details: z.array(z.unknown()).optional(),
});

/** Compiled once for each shape. */
const compiled = new Map<z.ZodType, ValidateFunction>();

function checkOf(shape: z.ZodType): ValidateFunction {
  const check = compiled.get(shape) ?? ajv.compile(jsonSchemaOf(shape));
  compiled.set(shape, check);
  return check;
}

/** Whether `value` is of a shape, with nothing more. */
export const fits = (shape: z.ZodType, value: unknown): boolean => checkOf(shape)(value);

/** Why `value` is of none of the shapes, or null. `name`: of the shapes together. */
function misfit(name: string, shapes: readonly z.ZodType[], value: unknown): string | null {
  if (shapes.some((shape) => fits(shape, value))) return null;
  return `${name}: ${shapes.map((shape) => ajv.errorsText(checkOf(shape).errors)).join('; or ')}`;
}

/** The command that these words are, such as `profile check`. */
export function commandOf(words: readonly string[]): string | null {
  const [noun = '', verb = ''] = words.filter(
    (word, i) => !word.startsWith('--') && !['--port', '--units'].includes(words[i - 1] ?? ''),
  );
  return [`${noun} ${verb}`, noun].find((name) => name in RESULTS) ?? null;
}

function misfitOfFailure(error: { reason: string; details?: readonly unknown[] }): string | null {
  const shape = DETAILS[error.reason];
  const details = (error.details ?? []).map((one) =>
    shape === undefined
      ? `details of ${error.reason} are not documented`
      : misfit(`details of ${error.reason}`, [shape], one),
  );
  return [misfit('error', [failure], error), ...details].find((why) => why !== null) ?? null;
}

/** Why a line is not as documented for the command of these words, or null. */
export function misfitOfLine(words: readonly string[], line: string): string | null {
  const value = JSON.parse(line);
  if (value.ok === false) return misfitOfFailure(value.error);
  const command = commandOf(words);
  if (command === null) return `no shape is documented for ${words.join(' ')}`;
  if (command === 'watch' && !('ok' in value)) return misfit('lines of watch', WATCH_LINES, value);
  return misfit(command, RESULTS[command] ?? [], value.result);
}
