/** Every command with `--json` against a bench: what it prints is what `cli/RESULTS.md` says. */
import { once } from 'node:events';
import { cpSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { World } from '../../cli/context';
import { RESULTS, WATCH_LINES } from '../../cli/results/commands';
import { resultsDocument } from '../../cli/results/document';
import { datedEntry } from '../../cli/results/journal';
import { withBootStageCrc } from '../../firmware/bench/chip/boot-stage';
import { version } from '../../package.json';
import { toUf2 } from '../../shared/board/uf2';
import { ENTRY_BYTES, packEntry, unpackEntry } from '../../shared/journal/codec';
import { countOf, entriesOf, Fleet, HAS_SERVERS } from '../fleet/fleet';
import { Receiver } from '../keep/servers';
import { holds } from '../properties';
import { anyBody, anyHead } from '../unit/any-entry';
import { type Deeds, json, type ProcessBench, Program } from './program';
import { commandOf, fits } from './shapes';
import { commandsIn, helpOf } from './worlds';

const PEPPER = 'shared/crops/pepper.yaml';

describe('the results of commands', () => {
  let program: Program;
  let bench: ProcessBench;
  /** By command: which of its shapes have been seen. */
  const seen = new Map<string, Set<number>>();

  beforeAll(async () => {
    program = await Program.built();
    const drive = join(program.home, 'bench-drive');
    bench = await program.startBench('--seed', '11', '--room', '23 C', '--drive', drive);
    await bench.wait(60);
  });
  afterAll(() => program.end());

  function note(command: string, result: unknown): void {
    const shapes = RESULTS[command] ?? [];
    const which = shapes.findIndex((shape) => fits(shape, result));
    seen.set(command, (seen.get(command) ?? new Set()).add(which));
  }

  /** A command that must succeed; every line is held to its shape. */
  async function trayward(line: string, deeds: Deeds = {}, pause?: World['pause']) {
    const words = line.split(' ');
    const port = words[0] === 'bench' ? [] : ['--port', bench.at.link];
    const waiting = pause === undefined ? {} : { pause };
    const ended = await program.runByNoun(['--json', ...port, ...words], { deeds, ...waiting });
    expect(ended.code, `${line}\n${ended.stdout}`).toBe(0);
    const result = json({ ...ended, stdout: ended.stdout.trim().split('\n').at(-1) ?? '' }).result;
    note(commandOf(words) ?? line, result);
    return result;
  }

  // In the order of the job: each step finds the tray as the one before has left it.

  it('of commissioning are as documented', async () => {
    const weigh = {
      'Put the known weight': () => bench.hand('put-weight', 5000),
      'Take the weight off': () => bench.hand('take-weight'),
    };
    const calibrate = 'scale calibrate --weight 5kg --cell 10kg --tray 4.6kg';
    const image = join(program.home, 'update.uf2');
    writeFileSync(image, toUf2(withBootStageCrc(new Uint8Array(512)), version));
    await trayward(`board update --again --yes --image ${image}`);
    await bench.wait(30);
    await trayward('board check --only controller,flash,probes');
    await trayward('find');
    await trayward(calibrate, weigh);
    await trayward(calibrate, weigh);
    await trayward('scale calibrate --restore 1');
    await trayward('scale zero');
    await trayward('scale check');
    await trayward('scale check --history');
    const { rootZoneC } = await trayward('probe check');
    await trayward(`probe calibrate --reads ${rootZoneC.toFixed(2)}C`);
    await trayward('probe curve');
    await trayward('probe curve --mat --reference');
    await bench.hand('put-jug');
    await bench.wait(60);
    await trayward('pump prime --yes');
    await trayward('pump calibrate --yes');
    await bench.hand('take-jug');
  });

  it('of profiles and stages are as documented', async () => {
    await trayward('profile new');
    await trayward(`profile new basil ${join(program.home, 'basil.yaml')}`);
    await trayward(`profile check ${PEPPER}`);
    await trayward(`profile load ${PEPPER}`);
    await trayward('profile read');
    await trayward(`profile compare ${join(program.home, 'basil.yaml')}`);
    await trayward('profile schema');
    await bench.hand('put-tray');
    await bench.hand('soak');
    await bench.wait(3600);
    await trayward('mark soaked');
    await trayward('status');
    await trayward('mark sown --yes');
    await trayward('mark note a lamp');
    await trayward('stage stay');
    await trayward('stage next --yes');
    await trayward('status');
    await trayward('watch --times 2');
    await trayward('clock set');
  });

  it('of alarms and the journal are as documented', async () => {
    await bench.fault('probe-open', 60);
    await bench.wait(30);
    await trayward('alarm list');
    await trayward('alarm seen probe-open');
    await trayward('alarm shelve probe-open --for 1h');
    await bench.wait(120);
    await trayward('alarm mended probe-open');
    const store = `--store ${join(program.home, 'store')}`;
    await trayward(`journal pull ${store}`);
    await trayward(`journal show ${store}`);
    await trayward(`journal show --kind trace ${store}`);
    await trayward(`explain ${store}`);
    await trayward(`away 6d ${store}`);
    await trayward(`journal export ${store}`);
    await trayward(`journal export --out ${join(program.home, 'out.csv')} ${store}`);
    const { boardId } = await trayward(
      `report --out ${join(program.home, 'report.html')} ${store}`,
    );
    // A copy of its journal is another tray's.
    const other = '0123456789abcdef';
    cpSync(join(program.home, 'store', boardId), join(program.home, 'store', other), {
      recursive: true,
    });
    const both = join(program.home, 'both.html');
    await trayward(`report --compare ${other} ${boardId} --out ${both} ${store}`);
    rmSync(join(program.home, 'store', other), { recursive: true });
    // A mat is told once it has gone on and off for some hours.
    await bench.hand('lid', 'closed');
    await bench.wait(30 * 3600);
    await trayward(`tray model ${store}`);
  });

  it('of the keeper are as documented', async () => {
    const receiver = await Receiver.start();
    const file = join(program.home, 'room.yaml');
    writeFileSync(join(program.home, 'secret'), 'hook-secret', { mode: 0o600 });
    writeFileSync(
      file,
      `trayward-keep: 1
name: room
trays: [{ name: Pepper, port: "${bench.at.link}" }]
doors: [{ name: hook, kind: webhook, url: "${receiver.url}", secret: { file: secret } }]
tell: [{ who: Ann, door: hook }]
`,
    );
    await trayward('keep check --example');
    await trayward(`keep check ${file}`);
    await trayward(`keep test ${file}`);
    await trayward(`keep install ${file} --out ${join(program.home, 'keep.service')}`);
    const keeper = program.spawn(['--json', 'keep', 'start', file, '--until-stdin-closes']);
    const lines: string[] = [];
    if (keeper.stdout === null) throw new Error('no output');
    const reader = createInterface({ input: keeper.stdout }).on('line', (line) => lines.push(line));
    await once(reader, 'line');
    await trayward(`keep status ${file}`);
    keeper.stdin?.end();
    await once(keeper, 'exit');
    for (const line of lines) note('keep start', JSON.parse(line).result);
    const page = program.spawn([
      ...['--json', '--port', bench.at.link, 'page', '--listen', '127.0.0.1:0'],
      '--until-stdin-closes',
    ]);
    if (page.stdout === null) throw new Error('no output');
    const told = createInterface({ input: page.stdout });
    told.on('line', (line) => note('page', JSON.parse(line).result));
    await once(told, 'line');
    page.stdin?.end();
    await once(page, 'exit');
    await receiver.stop();
  });

  it.skipIf(!HAS_SERVERS)('of a fleet are as documented', async () => {
    const fleet = await Fleet.start();
    try {
      const file = fleet.file();
      await trayward('fleet check --example');
      await trayward(`fleet migrate ${file}`);
      await trayward(`fleet check ${file}`);
      const words = ['--json', 'fleet', 'collect', file, '--until-stdin-closes'];
      const collector = program.spawn(words);
      const lines: string[] = [];
      if (collector.stdout === null) throw new Error('no output');
      const reader = createInterface({ input: collector.stdout });
      reader.on('line', (line) => lines.push(line));
      await once(reader, 'line');
      const trays = [1, 2].map((tray) => fleet.store('north', tray, entriesOf(tray)));
      fleet.sender('north').round(trays);
      await expect.poll(() => fleet.rows(), { timeout: 15_000 }).toBe(2 * countOf(entriesOf(1)));
      collector.stdin?.end();
      await once(collector, 'exit');
      for (const line of lines) note('fleet collect', JSON.parse(line).result);
      const [one, other] = trays.map(({ boardId }) => boardId);
      await trayward(`fleet status ${file}`);
      await trayward(`fleet alarms ${file}`);
      await trayward(`fleet report ${file} ${one} --out ${join(program.home, 'one.html')}`);
      const out = join(program.home, 'fleet-both.html');
      await trayward(`fleet compare ${file} ${one} ${other} --out ${out}`);
    } finally {
      await fleet.end();
    }
  });

  it('of mixing are as documented', async () => {
    for (const ec of ['0.8', '0.3', '0.1']) {
      await trayward(`feed mix --volume 4l --has 0.3mS/cm --to ${ec}mS/cm --gain 2mS/cm`);
    }
    for (const ec of ['0.3', '0.1']) {
      await trayward(`feed dilute --volume 4l --has 0.3mS/cm --to ${ec}mS/cm`);
    }
    await trayward('feed ec 1.2mS/cm');
    await trayward('feed ec 1.28mS/cm --bottle 1413uS/cm --at 20C');
    await trayward('feed stock --want 100 --holds 15.5%');
    await trayward('feed ladder pepper --dli 12mol');
    await trayward('water acid --alkalinity 2meq/l --ph 7.8 --acid nitric --strength 61.4%');
    await trayward('water soak --pieces 98 --size plug-36');
    await trayward('water test --ec 0.6mS/cm --ph 7.6 --alkalinity 2meq/l --hardness 10dGH');
  });

  it('of plans are as documented', async () => {
    const store = `--store ${join(program.home, 'store')}`;
    // The program goes by this laptop's date.
    const ready = new Date(Date.now() + 200 * 86_400_000).toISOString().slice(0, 10);
    const batch = `--ready ${ready} --plants 60 --keep`;
    await trayward(`plan make pepper ${batch} pepper ${store}`);
    await trayward(`plan make tomato ${batch} tomato ${store}`);
    await trayward(`plan show pepper ${store}`);
    await trayward(`plan update pepper --controller 0123456789abcdef ${store}`);
    await trayward(`plan check ${store}`);
    await trayward(`agenda ${store}`);
  });

  it('of the bench and the circuit are as documented', async () => {
    await trayward('hardware check');
    await trayward('completion bash');
    const drive = join(program.home, 'drive');
    mkdirSync(drive);
    writeFileSync(join(drive, 'INFO_UF2.TXT'), 'Board-ID: RPI-RP2\n');
    const image = join(program.home, 'trayward.uf2');
    writeFileSync(image, toUf2(withBootStageCrc(new Uint8Array(512))));
    // A board that took its image shows no drive any more.
    const taken = async (): Promise<void> => rmSync(join(drive, 'INFO_UF2.TXT'), { force: true });
    await trayward(`board image --to ${drive} --image ${image}`, {}, taken);
    await trayward('rehearse shared/crops/lettuce.yaml --days 1d --seeds 1');
    await trayward('crop list');
    await trayward('crop show tomato --at 22C');
    await trayward('crop compare lettuce pepper');
    await trayward('light dli --ppfd 200umol --hours 16h --lamp sodium --crop pepper');
    await trayward('light height --at 40cm --ppfd 300umol --want 150umol');
    await trayward('air vpd --air 24C --humidity 70%');
    const lots = `--store ${join(program.home, 'lots')}`;
    await trayward(`seed count 41 of 98 --sown 2026-01-01 ${lots}`);
    await trayward(`seed count ${lots}`);
    await trayward(
      `seed test --day 4=12 --day 5=31 --of 50 --against 40/50 --crop pepper --at 25C`,
    );
    await trayward('seed replicates 91 88 94 90');
    await trayward('seed thermal 15C=14d 20C=8d 25C=6d --to 22C');
    await trayward('bench run 60 s');
    await trayward('bench speed 0');
    await trayward('bench hand');
    await trayward('bench hand vent');
    await trayward('bench fault');
    await trayward('bench fault leak --for 10s');
    await trayward('bench state');
    const other = program.run([
      ...['--json', 'bench', 'start', '--listen', '0', '--speed', '0', '--until-stdin-closes'],
    ]);
    const { stdout } = await other;
    for (const line of stdout.trim().split('\n')) note('bench start', JSON.parse(line).result);
    await trayward('bench stop');
  });

  it('have all been seen, in each of their shapes', () => {
    for (const [command, shapes] of Object.entries(RESULTS)) {
      if (!HAS_SERVERS && command.startsWith('fleet ')) continue;
      expect([...(seen.get(command) ?? [])].sort(), command).toEqual([...shapes.keys()]);
    }
  });

  it('name every command there is', async () => {
    const commands: string[] = [];
    for (const noun of commandsIn(await helpOf())) {
      const verbs = commandsIn(await helpOf(noun));
      commands.push(...(verbs.length === 0 ? [noun] : verbs.map((verb) => `${noun} ${verb}`)));
    }
    expect(Object.keys(RESULTS).sort()).toEqual(commands.sort());
  });

  it('are in the document as they are in the program', async () => {
    await expect(resultsDocument()).toMatchFileSnapshot('../../cli/RESULTS.md');
  });
});

describe('a documented shape', () => {
  it('takes any entry a journal can hold', () => {
    holds(
      fc.property(anyHead, anyBody, (head, body) => {
        const packed = new Uint8Array(ENTRY_BYTES);
        packEntry(head, body, packed, 0);
        const entry = unpackEntry(packed, 0);
        const dated = { entry, life: 1, unixMs: null, afterMs: null, beforeMs: null };
        expect(fits(datedEntry, JSON.parse(JSON.stringify(dated)))).toBe(true);
      }),
    );
  });

  it('takes the events of a watch, and nothing that is not documented', () => {
    const [, lost] = WATCH_LINES;
    if (lost === undefined) throw new Error('no event');
    expect(fits(lost, { event: 'lost', reason: 'silent' })).toBe(true);
    expect(fits(lost, { event: 'lost' })).toBe(false);
    expect(fits(lost, { event: 'lost', reason: 'silent', why: 'new' })).toBe(false);
  });
});
