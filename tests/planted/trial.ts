/** Runs the tests that must find planted bugs, in a Vitest of their own. */
import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { PlantedBug } from './bug';
import { BUG_VARIABLE } from './plant';

const VITEST = fileURLToPath(new URL('../../node_modules/vitest/vitest.mjs', import.meta.url));

export interface Outcome {
  readonly name: string;
  readonly status: 'passed' | 'failed';
}

/** What Vitest's own `json` reporter writes, as far as it is read here. */
interface Report {
  readonly testResults: readonly {
    readonly message: string;
    readonly assertionResults: readonly { readonly title: string; readonly status: string }[];
  }[];
}

/** The names of a test as a pattern: what `it.each` fills in may be anything. */
export function patternOf(name: string): string {
  return name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&').replace(/%[a-z]|\\\$\w+/g, '.*');
}

/** This process is a Vitest too, and its own variables are none of the other's business. */
function environment(bug: PlantedBug | null): NodeJS.ProcessEnv {
  const own = Object.entries(process.env).filter(([name]) => !name.startsWith('VITEST'));
  return {
    ...Object.fromEntries(own),
    ...(bug === null ? {} : { [BUG_VARIABLE]: JSON.stringify(bug) }),
  };
}

/** Runs the tests of `file` whose names have one of `names` in them; with `bug` planted, if any. */
export async function outcomes(
  file: string,
  names: readonly string[],
  bug: PlantedBug | null,
): Promise<readonly Outcome[]> {
  const pattern = names.map(patternOf).join('|');
  const words = [VITEST, 'run', file, '-t', pattern, '--reporter=json'];
  const child = spawn(process.execPath, words, { env: environment(bug) });
  let stdout = '';
  let stderr = '';
  child.stdout.on('data', (chunk) => {
    stdout += chunk;
  });
  child.stderr.on('data', (chunk) => {
    stderr += chunk;
  });
  await new Promise((resolve) => child.on('close', resolve));
  const line = stdout.split('\n').find((one) => one.startsWith('{"numTotalTestSuites"'));
  if (line === undefined) throw new Error(`Vitest ended without a report\n${stdout}\n${stderr}`);
  const { testResults } = JSON.parse(line) as Report;
  const [broken] = testResults.filter(({ assertionResults }) => assertionResults.length === 0);
  if (broken !== undefined) throw new Error(`${file} did not start: ${broken.message}`);
  return testResults.flatMap(({ assertionResults }) =>
    assertionResults.flatMap(({ title, status }) =>
      status === 'passed' || status === 'failed' ? [{ name: title, status }] : [],
    ),
  );
}
