/**
 * The demo: three weeks of a cucumber tray in less than a minute, from dry plugs to blocks. A bench runs in its
 * own process; all that happens is what the program's own commands do over the link. Only the grower's actions
 * and two faults are scripted: a mains failure of two hours, and a reservoir filled too sparingly.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { askBench } from '../firmware/bench/server/ask';
import type { DoorRequest } from '../firmware/bench/server/door';
import type { BenchState } from '../firmware/bench/state';

const PROGRAM = join(__dirname, 'trayward.cjs');
/** Where the demo keeps everything: no other program meets its bench, nor it another's. */
const HOME = mkdtempSync(join(tmpdir(), 'trayward-demo-'));
const STORE = join(HOME, 'journals');
const ENV = { ...process.env, TMPDIR: HOME, TEMP: HOME, TMP: HOME };
const DAY_S = 86_400;
const PROFILE = 'shared/crops/cucumber.yaml';
/** Days the demo lasts at least. */
const DAYS = 19;
/** What the grower leaves in the reservoir before the last days away. */
const SPARING_ML = 500;

interface BenchProcess {
  readonly link: string;
  readonly door: string;
  readonly child: ChildProcess;
}

function say(text: string): void {
  process.stdout.write(`\n# ${text}\n`);
}

/** Starts the bench and waits for the line that says where it is. */
function startBench(): Promise<BenchProcess> {
  const args = ['--json', 'bench', 'start', '--listen', '0', '--speed', '0', '--seed', '11'];
  const room = ['--crop', 'cucumber', '--room', '18 C', '--swing', '2 K', '--until-stdin-closes'];
  process.stdout.write(`$ trayward ${[...args, ...room].join(' ')} &\n`);
  const child = spawn(process.execPath, [PROGRAM, ...args, ...room], {
    stdio: ['pipe', 'pipe', 'inherit'],
    env: ENV,
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('exit', () => reject(new Error('the bench did not start')));
    createInterface({ input: child.stdout }).once('line', (line) => {
      const { link, door } = JSON.parse(line).result;
      resolve({ link, door, child });
    });
  });
}

/** What the grower does when the program says certain words. */
type Deeds = Readonly<Record<string, () => Promise<unknown>>>;

class Demo {
  constructor(readonly bench: BenchProcess) {}

  /** Runs a command as a grower would, in a process of its own. Returns its exit code. */
  async run(words: readonly string[], deeds: Deeds = {}): Promise<number> {
    process.stdout.write(`\n$ trayward ${words.join(' ')}\n`);
    const store = words[0] === 'journal' ? ['--store', STORE] : [];
    const child = spawn(process.execPath, [PROGRAM, ...words, ...store], {
      stdio: ['ignore', 'inherit', 'pipe'],
      env: { ...ENV, TRAYWARD_PORT: this.bench.link },
    });
    child.stderr.on('data', (data: Buffer) => {
      const text = data.toString();
      process.stdout.write(text.replace(/^(?=.)/gm, '  '));
      for (const [said, deed] of Object.entries(deeds)) if (text.includes(said)) void deed();
    });
    return new Promise((resolve) => child.once('close', (code) => resolve(code ?? 1)));
  }

  /** The same, for a command that must succeed. */
  async must(...words: string[]): Promise<void> {
    const code = await this.run(words);
    if (code === 0) return;
    const { exitCode, signalCode } = this.bench.child;
    const how = exitCode ?? signalCode;
    throw new Error(
      how === null
        ? `trayward ${words.join(' ')} ended with ${code}`
        : `the bench itself had ended before (${how}) when trayward ${words.join(' ')} looked for it`,
    );
  }

  /** The hand, the faults and time itself: the bench door. */
  async ask(request: DoorRequest): Promise<BenchState> {
    const answer = await askBench(this.bench.door, request);
    if (!answer.ok) throw new Error(answer.why);
    return answer.value.state;
  }

  hand(action: Extract<DoorRequest, { do: 'hand' }>['action'], value?: number | string) {
    return this.ask({ do: 'hand', action, value });
  }

  wait(forS: number): Promise<BenchState> {
    return this.ask({ do: 'run', forS });
  }

  async state(): Promise<BenchState> {
    return this.ask({ do: 'state' });
  }
}

async function calibrate(demo: Demo): Promise<void> {
  say(
    'The scale is calibrated with a known weight of 5 kg. The grower does what the program asks.',
  );
  await demo.wait(60);
  const deeds: Deeds = {
    'Put the known weight': () => demo.hand('put-weight', 5000),
    'Take the weight off': () => demo.hand('take-weight'),
  };
  const words = ['scale', 'calibrate', '--weight', '5kg', '--cell', '10kg', '--tray', '4.6kg'];
  if ((await demo.run(words, deeds)) !== 0) throw new Error('the scale was not calibrated');
  say('The pump is calibrated on the scale, into a jug.');
  await demo.hand('put-jug');
  await demo.wait(30);
  await demo.must('pump', 'prime', '--yes');
  await demo.must('pump', 'calibrate', '--yes');
  await demo.hand('take-jug');
}

async function sow(demo: Demo): Promise<void> {
  say('The cucumber profile is checked, then loaded.');
  await demo.must('profile', 'check', PROFILE);
  await demo.must('profile', 'load', PROFILE);
  say(
    'The dry tray goes on the scale, every second place empty; it is soaked in feed, drained, and sown.',
  );
  await demo.hand('split-tray');
  await demo.hand('put-tray');
  await demo.wait(300);
  await demo.must('mark', 'dry');
  await demo.hand('soak');
  await demo.wait(3600);
  await demo.must('mark', 'soaked');
  await demo.hand('sow');
  await demo.hand('lid', 'closed');
  await demo.wait(300);
  await demo.must('mark', 'sown');
  say('The reservoir holds 4 l of the dilute feed that the profile wants first.');
  await demo.must('mark', 'refilled', '--ec', '0.9mS/cm');
  await demo.wait(DAY_S / 4);
  say('When does it get food? The line on watering says by when.');
  await demo.must('status');
}

/** What the grower does in so many days after emergence; the profile and the status ask for it. */
const AFTER_EMERGENCE: Readonly<Record<number, (demo: Demo) => Promise<void>>> = {
  2: async (demo) => {
    say('The stage of the first feed has begun, and asks for a propped lid.');
    await demo.hand('lid', 'propped');
    await demo.must('status');
  },
  5: async (demo) => {
    say('Has the crop been fed?');
    await demo.must('journal', 'pull');
    await demo.must('journal', 'show', '--kind', 'dose', '--last', '4');
  },
  6: async (demo) => {
    say('The next stage asks for the lid off by day: plants that drink are fed.');
    await demo.hand('lid', 'off-by-day');
  },
  7: async (demo) => {
    say('Nobody is in the room, and the mains fails for two hours.');
    await demo.ask({ do: 'fault', name: 'mains-cut', on: true, forS: 7200 });
    await demo.wait(3 * 3600);
    await demo.must('status');
  },
  9: async (demo) => {
    say('What has each plant had, and what of the weight is plants and no water?');
    await demo.must('status');
  },
  10: transplant,
};

async function transplant(demo: Demo): Promise<void> {
  say('The first true leaf is out: the best plants are moved on to blocks, soaked and drained.');
  await demo.hand('take-tray');
  await demo.wait(1200);
  await demo.hand('transplant');
  await demo.must('mark', 'transplanted', '--yes');
  await demo.wait(3600);
  await demo.must('mark', 'soaked');
  await demo.hand('lid', 'off');
  say(
    `Fresh feed for the blocks. In a hurry, only ${SPARING_ML} ml go in, but it is marked as full.`,
  );
  await demo.hand('drain-reservoir', 0);
  await demo.hand('refill', SPARING_ML);
  await demo.must('mark', 'refilled', '--ec', '1.0mS/cm');
}

/** Day after day the grower looks in, as the crop and the profile ask. */
async function grow(demo: Demo): Promise<void> {
  say('The days pass. Once a day the grower looks in; all else is up to the controller.');
  const { timeS: sownS } = await demo.state();
  let emergedDay = Number.NaN;
  for (let day = 1; day <= DAYS; day++) {
    const { plants, timeS } = await demo.wait(DAY_S);
    const age = Math.round((timeS - sownS) / DAY_S);
    if (Number.isNaN(emergedDay)) {
      if (plants.emergedShare <= 0.5) continue;
      emergedDay = age;
      say(`Day ${age}: more than half of the seedlings are up. The grower opens the vents.`);
      await demo.hand('lid', 'vents-open');
      await demo.must('mark', 'emerged');
      continue;
    }
    const act = AFTER_EMERGENCE[age - emergedDay];
    if (act === undefined) continue;
    say(`Day ${age}:`);
    await act(demo);
  }
}

async function lookBack(demo: Demo): Promise<void> {
  say('The grower comes back. How does the tray stand?');
  await demo.must('status');
  await demo.must('alarm', 'list');
  await demo.must('alarm', 'seen');
  say('The journal is pulled from the board: what happened, and what did the controller do?');
  await demo.must('journal', 'pull');
  await demo.must('journal', 'show', '--kind', 'stage');
  await demo.must('journal', 'show', '--kind', 'boot');
  await demo.must('journal', 'show', '--kind', 'clock', '--last', '3');
  await demo.must('journal', 'show', '--alarms');
  await demo.must('journal', 'show', '--kind', 'dose', '--last', '12');
  await demo.must('journal', 'show', '--kind', 'reading', '--last', '4');
}

async function setRight(demo: Demo): Promise<void> {
  say(
    'The cause is plain: the reservoir is empty. It is filled, the tube primed, the alarm mended.',
  );
  await demo.hand('refill');
  await demo.must('mark', 'refilled', '--ec', '1.0mS/cm');
  await demo.must('pump', 'prime', '--yes');
  await demo.wait(600);
  await demo.run(['alarm', 'mended', 'dose-not-seen']);
  await demo.wait(DAY_S / 2);
  say('Half a day later:');
  await demo.must('status');
}

/** Ends the bench; resolves when its file is out of the demo's folder. */
function gone(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return Promise.resolve();
  return new Promise((resolve) => {
    child.once('exit', () => resolve());
    child.stdin?.end();
  });
}

async function main(): Promise<number> {
  const startedMs = Date.now();
  say('A bench: the real firmware with a simulated tray, in a process of its own.');
  const bench = await startBench();
  try {
    const demo = new Demo(bench);
    await demo.must('status');
    await calibrate(demo);
    await sow(demo);
    await grow(demo);
    await lookBack(demo);
    await setRight(demo);
    const { timeS } = await demo.state();
    const took = Math.round((Date.now() - startedMs) / 1000);
    say(`Done: ${(timeS / DAY_S).toFixed(1)} days of the tray in ${took} s.`);
    return 0;
  } finally {
    bench.child.removeAllListeners('exit');
    await gone(bench.child);
    rmSync(HOME, { recursive: true, force: true });
  }
}

main().then(
  (code) => {
    process.exitCode = code;
  },
  (error: Error) => {
    process.stderr.write(`The demo stopped: ${error.message}.\n`);
    process.exitCode = 1;
  },
);
