/** What a person at a terminal sees of `trayward watch` when the line drops and comes back. */
import { describe, expect, it } from 'vitest';
import { type Client, LinkError } from '../../cli/link/client';
import { main } from '../../cli/main';
import type { Sink } from '../../cli/terminal/streams';
import { createScreen } from '../../cli/watch/screen';
import { Grower } from '../simulation/grower';
import { clientOf, worldAt } from './worlds';

const ESC = '\x1b';
/** Moving up, clearing below, a line's end, and text. */
const PIECES = new RegExp(`${ESC}\\[(\\d+)A|(${ESC}\\[J)|\\r|\\n|[^${ESC}\\r\\n]+`, 'g');

/** A terminal that keeps what it shows; it knows no colours. */
class Terminal implements Sink {
  readonly isTTY = true;
  /** Everything since the terminal was opened, what has scrolled away too. */
  readonly lines: string[] = [];
  #row = 0;

  constructor(
    public columns: number,
    readonly rows = 24,
  ) {}

  write(text: string): void {
    for (const [piece, up, clear] of text.matchAll(PIECES)) {
      if (up !== undefined) this.#moveUp(Number(up));
      else if (clear !== undefined) this.lines.length = this.#row;
      else if (piece === '\n') this.lines[this.#row++] ??= '';
      else if (piece !== '\r') this.#put(piece);
    }
  }

  /** What has scrolled away is out of reach. */
  #moveUp(rows: number): void {
    this.#row = Math.max(this.lines.length + 1 - this.rows, this.#row - rows);
  }

  #put(piece: string): void {
    for (let at = 0; at < piece.length; at += this.columns) {
      if (at > 0) this.#row++;
      this.lines[this.#row] = piece.slice(at, at + this.columns);
    }
  }

  get text(): string {
    return this.lines.join('\n');
  }
}

/** Watches a tray for `times` readings; `calls` says which questions, by number, fail and how. */
async function watch(terminal: Terminal, times: number, fails: Record<number, LinkError>) {
  const grower = new Grower();
  const screens: string[] = [];
  let asked = 0;
  const steady = clientOf(grower);
  const client: Client = {
    ...steady,
    async call(method, params) {
      const failure = method === 'status.read' ? fails[++asked] : undefined;
      if (failure !== undefined) throw failure;
      return steady.call(method, params);
    },
  };
  const pause = async (ms: number): Promise<void> => {
    screens.push(terminal.text);
    grower.bench.run(ms);
  };
  const sleep = (): Promise<never> => Promise.reject(new Error('a watch waited for the tray'));
  const changes = { stdout: terminal, env: { NO_COLOR: '1' }, sleep, pause };
  const world = worldAt(grower, changes, client);
  const code = await main(['watch', '--times', String(times)], world);
  return { code, screens };
}

const occurrences = (text: string, words: string): number => text.split(words).length - 1;

describe('a watch at a terminal', () => {
  it('is drawn in place, below what stood there before', async () => {
    const terminal = new Terminal(80);
    terminal.write('$ trayward watch\n');
    const { code } = await watch(terminal, 3, {});
    expect(code).toBe(0);
    expect(terminal.lines[0]).toBe('$ trayward watch');
    expect(occurrences(terminal.text, 'Root zone')).toBe(1);
    expect(terminal.text).toContain('Ctrl-C ends the watch');
  });

  it('only looks: it never waits for the tray, which would make the time of a bench pass', async () => {
    expect((await watch(new Terminal(80), 3, { 2: new LinkError('lost', 'cut') })).code).toBe(0);
  });

  it('keeps the last reading in sight while the line is gone, and says why and since when', async () => {
    const terminal = new Terminal(80);
    const { code, screens } = await watch(terminal, 2, { 2: new LinkError('lost', 'cut') });
    expect(code).toBe(0);
    expect(screens[1]).toContain('Root zone');
    expect(screens[1]).toMatch(/No reading since \d\d:\d\d:\d\d: The line was cut\. Trying again/);
    expect(terminal.text).not.toContain('No reading');
    expect(terminal.text).toMatch(/\d\d:\d\d:\d\d {2}The line is back; the controller ran on\./);
  });

  it('ends when no waiting can mend what is wrong', async () => {
    const refusal = new LinkError('protocol', 'The controller is newer than this program.');
    const { code } = await watch(new Terminal(80), 2, { 2: refusal });
    expect(code).toBe(1);
  });

  it.each([40, 57, 80])('is drawn in place on a terminal of %d columns too', async (columns) => {
    const terminal = new Terminal(columns);
    await watch(terminal, 3, { 2: new LinkError('silent', '') });
    expect(occurrences(terminal.text, 'Root zone')).toBe(1);
  });
});

describe('what must not be overlooked', () => {
  /** The lines of a watch in colour, of a tray whose probe has broken. */
  async function coloured(columns: number): Promise<readonly string[]> {
    const grower = new Grower();
    grower.bench.fault('probe-open', true);
    grower.bench.run(120_000);
    let shown = '';
    const stdout: Sink = { isTTY: true, columns, rows: 40, write: (text) => (shown += text) };
    const world = worldAt(grower, { stdout, env: { FORCE_COLOR: '1' } }, clientOf(grower));
    expect(await main(['watch', '--times', '1'], world)).toBe(0);
    return shown.split('\n');
  }
  const lineOf = (lines: readonly string[], words: string): string =>
    lines.find((line) => line.includes(words)) ?? '';

  it('an urgent alarm is red, and nothing of it is dimmed', async () => {
    const line = lineOf(await coloured(80), 'Alarms ');
    expect(line).toContain(`${ESC}[31m`);
    expect(line).not.toContain(`${ESC}[2m`);
  });

  it('what a mat is held off for stands on its line, undimmed', async () => {
    const line = lineOf(await coloured(80), 'Mat ');
    expect(line).toContain('held off');
    expect(line).not.toContain(`${ESC}[2m`);
  });

  it('the time of day shows that the screen is alive', async () => {
    expect((await coloured(80)).join('\n')).toMatch(/\d\d:\d\d:\d\d {2}Ctrl-C ends the watch/);
  });
});

describe('a block of text in place', () => {
  it('is drawn over when the terminal was made narrower meanwhile', () => {
    const terminal = new Terminal(40);
    const screen = createScreen(terminal);
    screen.draw('one line of forty letters and some more');
    terminal.columns = 20;
    terminal.lines.splice(0, 1, 'one line of forty le', 'tters and some more');
    terminal.write('\n');
    screen.draw('new');
    expect(terminal.lines).toEqual(['new']);
  });

  it('that is higher than the terminal is cut at its lower end, not smeared over it', () => {
    const terminal = new Terminal(40, 4);
    const screen = createScreen(terminal);
    for (const name of ['a', 'b']) screen.draw([1, 2, 3, 4, 5].map((n) => name + n).join('\n'));
    expect(terminal.lines).toEqual(['b1', 'b2', 'b3']);
  });
});
