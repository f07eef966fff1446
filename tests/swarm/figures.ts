/** What a run of many seeds came to: as a table to look at, and as a document that is kept. Pure. */
import type { Breach, Outcome } from './plan';

/** Named as the line of the table: `npm run bench` looks for it. */
export const TRAY_DAYS_PER_S = 'tray-days a second of processor';

/** A seed, and what broke in it. */
interface Broken {
  readonly seed: number;
  readonly breach: Breach;
}

/** What is run: its title, and the option of the command that runs it. */
const RUNS = {
  bench: { title: 'A run of the swarm', option: '' },
  image: { title: 'A run of the swarm on the image', option: '--image ' },
} as const;

/** Sums over the seeds of one run. */
export class Figures {
  /** By promise. */
  readonly broken = new Map<string, readonly Broken[]>();
  #seeds = 0;
  #trayDays = 0;
  #events = 0;
  #starts = 0;

  constructor(
    readonly fromSeed: number,
    readonly on: keyof typeof RUNS = 'bench',
  ) {}

  /** One seed more, in whose plan so many `events` happen. */
  add(seed: number, events: number, { breaches, trayDays, starts }: Outcome): void {
    this.#seeds += 1;
    this.#trayDays += trayDays;
    this.#events += events;
    this.#starts += starts;
    for (const breach of breaches) {
      const others = this.broken.get(breach.promise) ?? [];
      this.broken.set(breach.promise, [...others, { seed, breach }]);
    }
  }

  /** Promises broken, a seed that breaks two of them counted twice. */
  get brokenCount(): number {
    return [...this.broken.values()].reduce((sum, found) => sum + found.length, 0);
  }

  /** In a few words, while more are run. */
  soFar(): string {
    const days = grouped(this.#trayDays);
    return `${grouped(this.#seeds)} trays, ${days} tray-days, ${this.brokenCount} broken promises`;
  }

  /** `processorS`: what all threads together had of the processors, s. */
  table(processorS: number): string {
    const rows = [
      ['seeds', `${this.fromSeed} to ${this.fromSeed + this.#seeds - 1}`],
      ['trays', grouped(this.#seeds)],
      this.#timeRow,
      ['things that happened', grouped(this.#events)],
      ['starts of the board', grouped(this.#starts)],
      ['broken promises', grouped(this.brokenCount)],
      this.#paceRow(processorS),
    ] as const;
    return padded(rows);
  }

  get #timeRow(): readonly [string, string] {
    if (this.on === 'bench') return ['tray-days', grouped(this.#trayDays)];
    return ['hours on the image', (this.#trayDays * 24).toFixed(1)];
  }

  #paceRow(processorS: number): readonly [string, string] {
    const daysASecond = this.#trayDays / processorS;
    if (this.on === 'bench') return [TRAY_DAYS_PER_S, daysASecond.toFixed(1)];
    return ['tray-seconds a second of processor', (daysASecond * 86_400).toFixed(0)];
  }

  /** Which promises broke, and where; empty when none did. */
  brokenTable(): string {
    if (this.broken.size === 0) return '';
    const rows = [...this.broken].map(([promise, found]): readonly [string, string] => {
      const seeds = found.map(({ seed }) => seed).sort((a, b) => a - b);
      return [promise, seeds.join(', ')];
    });
    return padded([['promise', 'seeds'], ...rows]);
  }

  /** The document that is kept. */
  document(processorS: number): string {
    const broken = this.brokenTable();
    const count = this.#seeds;
    const { title, option } = RUNS[this.on];
    return `# ${title}

\`npm run swarm -- ${option}--from ${this.fromSeed} --seeds ${count} --figures\` wrote this. The same seeds give the same trays on any machine;
how fast they go is this machine's. What is promised: \`README.md\`.

${this.table(processorS)}

${broken === '' ? 'Every promise was kept.' : broken}
`;
  }
}

/** A whole number with its thousands apart. */
function grouped(value: number): string {
  return Math.round(value).toLocaleString('en-GB');
}

/** A table of two columns, the first row its head. */
function padded([head, ...rows]: readonly (readonly [string, string])[]): string {
  if (head === undefined) return '';
  const widths = [0, 1].map((i) => Math.max(...[head, ...rows].map((row) => row[i]?.length ?? 0)));
  const line = (cells: readonly string[]): string =>
    `| ${cells.map((cell, i) => cell.padEnd(widths[i] ?? 0)).join(' | ')} |`;
  return [head, widths.map((width) => '-'.repeat(width)), ...rows].map(line).join('\n');
}
