/**
 * `npm run swarm`: runs plans of many seeds, shrinks what broke a promise, and prints it so that it can be replayed.
 *
 *     npm run swarm -- --seeds 200             that many, from a fresh seed on
 *     npm run swarm -- --from 1 --seeds 200    the same ones again
 *     npm run swarm -- --seeds 1000 --figures  and keeps what it came to in FIGURES.md, also when Ctrl-C ends it sooner
 *     npm run swarm -- --seed 17               one of them, told in words, and shrunk
 *     npm run swarm -- --plan file.json        a plan that was printed
 *     npm run swarm -- --image --seeds 50      minutes of each on the flash image, with its power cut again and again
 *     npm run swarm -- --planted               is every planted bug found?
 *     npm run swarm -- --planted --only feed   those that speak of it
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { setFlagsFromString } from 'node:v8';
import { buildImage } from '../../firmware/image/build';
import { onAllProcessors } from '../../shared/host/crew';
import { bundle } from '../bundle';
import { drawPlan } from './draw';
import { Figures } from './figures';
import { findPlanted } from './find-planted';
import type { ImageDone, ImageTask } from './image-worker';
import { type Breach, type Plan, STOP_MIN } from './plan';
import { runPlan } from './play';
import { shrink } from './shrink';
import { breachText, planText } from './words';
import type { Done, Task } from './worker';

const FOLDER = 'dist/swarm';
const FIGURES = 'tests/swarm/FIGURES.md';
const IMAGE_FIGURES = 'tests/swarm/FIGURES-IMAGE.md';
const SEEDS_USUAL = 100;
const IMAGE_SEEDS_USUAL = 50;
/** Room of each thread for what is made and soon forgotten, MB: collections are seldom, and find little alive then. */
const YOUNG_MB = 64;
/** Trays after which figures are told, and Ctrl-C ends a long run. */
const PORTION = 2000;
/** Of each promise so many seeds are shrunk: the others are likely the same. */
const SHRUNK_EACH = 1;

function say(text: string): void {
  process.stdout.write(`${text}\n`);
}

/** A seed or how many; `usual` where nothing was said. */
function whole(name: string, text: string | undefined, usual: number): number {
  const value = text === undefined ? usual : Number(text);
  if (!Number.isInteger(value) || value < 0)
    throw new Error(`--${name} ${text} is no whole number from 0 on.`);
  return value;
}

/** Shrinks a plan that breaks a promise, and prints what is left. */
function tell(plan: Plan, { promise }: Breach): void {
  const breaks = (candidate: Plan): boolean =>
    runPlan(candidate).breaches.some((breach) => breach.promise === promise);
  const { plan: least, runs } = shrink(plan, breaks);
  const [still] = runPlan(least).breaches.filter((breach) => breach.promise === promise);
  say(`\n${still ? breachText(still) : promise} (shrunk in ${runs} runs)`);
  say(planText(least));
  say(JSON.stringify(least));
}

function runOne(plan: Plan): void {
  say(planText(plan));
  const { breaches } = runPlan(plan);
  for (const breach of breaches) say(`BREACH ${breachText(breach)}`);
  if (breaches.length === 0) say('All promises held.');
  for (const breach of breaches) tell(plan, breach);
  if (breaches.length > 0) process.exitCode = 1;
}

/** What this program had of the processors since then, its threads together, s. */
function processorSince(began: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(began);
  return (user + system) / 1e6;
}

/** Runs them, portion by portion, and keeps the figures so far in the document if they are `kept`. */
async function runMany(fromSeed: number, count: number, kept: boolean): Promise<void> {
  const script = resolve(FOLDER, 'worker.cjs');
  await bundle('tests/swarm/worker.ts', script);
  const began = process.cpuUsage();
  const figures = new Figures(fromSeed);
  let isEnough = false;
  process.once('SIGINT', () => {
    isEnough = true;
    process.stderr.write('Ends with this portion. Again to end at once.\n');
  });
  for (let done = 0; done < count && !isEnough; done += PORTION) {
    const portion = Math.min(PORTION, count - done);
    await onAllProcessors<Task, Done>(
      script,
      Array.from({ length: portion }, (_, i) => fromSeed + done + i),
      ({ task, events, outcome }) => {
        const seed = Number(task);
        figures.add(seed, events, outcome);
        for (const breach of outcome.breaches) {
          process.stderr.write(`seed ${seed}: ${breachText(breach)}\n`);
        }
        return true;
      },
    );
    const processorS = processorSince(began);
    if (count > PORTION) process.stderr.write(`${figures.soFar()}\n`);
    if (kept) writeFileSync(FIGURES, figures.document(processorS));
  }
  say(`\n${figures.table(processorSince(began))}`);
  if (figures.brokenCount === 0) return;
  say(`\n${figures.brokenTable()}`);
  for (const found of figures.broken.values()) {
    for (const { seed, breach } of found.slice(0, SHRUNK_EACH)) tell(drawPlan(seed), breach);
  }
  process.exitCode = 1;
}

/** The same on the image; a plan there is replayed by its seed. */
async function runImages(fromSeed: number, count: number, kept: boolean): Promise<void> {
  const script = resolve(FOLDER, 'image-worker.cjs');
  await bundle('tests/swarm/image-worker.ts', script);
  const { bytes, symbols } = await buildImage();
  const began = process.cpuUsage();
  const figures = new Figures(fromSeed, 'image');
  await onAllProcessors<ImageTask, ImageDone>(
    script,
    Array.from({ length: count }, (_, i) => ({ seed: fromSeed + i, image: { bytes, symbols } })),
    ({ seed, events, outcome }) => {
      figures.add(seed, events, outcome);
      for (const breach of outcome.breaches) {
        process.stderr.write(`seed ${seed}: ${breachText(breach)}\n`);
      }
      return true;
    },
  );
  const processorS = processorSince(began);
  say(`\n${figures.table(processorS)}`);
  if (kept) writeFileSync(IMAGE_FIGURES, figures.document(processorS));
  if (figures.brokenCount === 0) return;
  say(`\n${figures.brokenTable()}`);
  process.exitCode = 1;
}

/** As it was printed: whoever changes it by hand sees what it does. */
function readPlan(path: string): Plan {
  const plan = JSON.parse(readFileSync(path, 'utf8')) as Plan;
  if (!Array.isArray(plan?.events)) throw new Error(`${path} is no plan: it has no "events".`);
  // One that was printed before stops differed has none.
  return { ...plan, stopMin: plan.stopMin ?? STOP_MIN };
}

async function main(): Promise<void> {
  // Whoever read the output has heard enough: `| head`.
  process.stdout.on('error', () => process.exit());
  // Threads that begin later go by these.
  setFlagsFromString(`--min-semi-space-size=${YOUNG_MB}`);
  setFlagsFromString(`--max-semi-space-size=${YOUNG_MB}`);
  // A plan is over in a fraction of a second: what is seldom run is compiled plainly at once, not interpreted first.
  setFlagsFromString('--always-sparkplug');
  mkdirSync(FOLDER, { recursive: true });
  const { values } = parseArgs({
    options: {
      seed: { type: 'string' },
      seeds: { type: 'string' },
      from: { type: 'string' },
      plan: { type: 'string' },
      planted: { type: 'boolean' },
      only: { type: 'string' },
      figures: { type: 'boolean' },
      image: { type: 'boolean' },
    },
  });
  if (values.planted)
    process.exitCode = (await findPlanted(FOLDER, values.only ?? '', say)) ? 0 : 1;
  else if (values.image) {
    const one = values.seed !== undefined;
    const from = whole('from', values.seed ?? values.from, Date.now() % 2 ** 31);
    const count = one ? 1 : whole('seeds', values.seeds, IMAGE_SEEDS_USUAL);
    await runImages(from, count, values.figures === true);
  } else if (values.plan !== undefined) {
    runOne(readPlan(values.plan));
  } else if (values.seed !== undefined) runOne(drawPlan(whole('seed', values.seed, 0)));
  else {
    const from = whole('from', values.from, Date.now() % 2 ** 31);
    await runMany(from, whole('seeds', values.seeds, SEEDS_USUAL), values.figures === true);
  }
}

main().catch((error: unknown) => {
  process.stderr.write(`${error instanceof Error ? error.message : error}\n`);
  process.stderr.write('`--seed 17`, `--from 1 --seeds 200`, `--plan file.json` or `--planted`.\n');
  process.exitCode = 2;
});
