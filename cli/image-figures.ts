/** What the flash image takes and how fast it is, in the emulated board, for `npm run bench`. */
import type { Bench } from '../firmware/bench/bench';
import { createBench } from '../firmware/bench/bench';
import { Chip, flashWithImage } from '../firmware/bench/chip/chip';
import { ChipBench } from '../firmware/bench/chip/chip-bench';
import { SimulatedFlash } from '../firmware/bench/flash';
import { type BuiltImage, buildImage } from '../firmware/image/build';
import { imageParts } from '../firmware/image/parts';
import { missingTools } from '../firmware/image/toolchain';
import { ENTRIES_PER_SECTOR, openJournal } from '../firmware/storage/journal';
import { DOOR, type Door, FLASH_MAP, FLASH_SECTOR_BYTES, UART_BAUD } from '../shared/board/map';
import { crc32, toBase64 } from '../shared/bytes';
import { createLineDecoder, encodeLine } from '../shared/link/framing';
import { LINK_LIMITS } from '../shared/link/methods';
import { decodeProfile, encodeProfile } from '../shared/profile/image';
import type { Profile } from '../shared/profile/profile';

export interface Row {
  readonly what: string;
  readonly value: string;
  readonly goal: string;
}

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const HOURS = 24;
const SLOT_BYTES = 16;
const RAM_START = 0x20000000;
/** Pages pulled at each door: enough for a steady pace. */
const PAGES = 40;
/** What a door can carry: ten bits a byte at the UART's speed; 19 packets of 64 bytes a millisecond. */
const LIMIT_BYTES_PER_S = { [DOOR.uart]: UART_BAUD / 10, [DOOR.usb]: 19 * 64 * 1000 } as const;

/** In a warm room, so that the mat works a little and the wool dries a little: what most days are like. */
const ROOM = { meanC: 24 };
const PROFILE: Profile = {
  crop: 'pepper',
  title: 'For figures',
  rootZoneMaxC: 34,
  reservoirMl: 4000,
  night: null,
  quiet: null,
  utcOffsetMin: 0,
  media: [{ name: 'plugs', pieces: 98, pieceMl: 51.84, bulkDensityKgM3: 70, capacityShare: 0.8 }],
  stages: [
    {
      name: 'first feed',
      kind: 'weigh',
      band: { lowC: 24, highC: 25 },
      nightBand: null,
      watering: {
        startShare: 0.04,
        stopShare: 0.01,
        doseMl: 40,
        soakInS: 300,
        maxDayMl: 900,
        maxStageMl: 4000,
      },
      rescue: { share: 0.5, doseMl: 0 },
      end: { afterS: 0, mark: null },
      lid: 'loose',
      medium: 0,
      feedEc: 0,
    },
  ],
};

const kb = (bytes: number): string => `${(bytes / 1024).toFixed(1)} KB`;
const row = (what: string, value: string, goal = '-'): Row => ({ what, value, goal });

/** Brings a tray into service in this process: the image takes it over from there. */
function inService(): Bench {
  const bench = createBench({ seed: 1, room: ROOM });
  let token = 0;
  const end = bench.connect(() => true, DOOR.usb);
  const call = (method: string, params: object): void => {
    token += 1;
    const request = { jsonrpc: '2.0', id: token, method, params: { ...params, token } };
    end?.write(encodeLine(JSON.stringify(request)));
  };
  const { pump } = bench.rig.plant.parameters;
  bench.run(MINUTE_MS);
  call('pump.calibrate', { mlPerS: pump.mlPerS, cvPercent: 1 });
  const image = encodeProfile(PROFILE);
  const decoded = decodeProfile(image);
  call('profile.begin', { bytes: image.length, crc: crc32(image) });
  call('profile.chunk', { offset: 0, data: toBase64(image) });
  call('profile.commit', { id: decoded.ok ? decoded.id : 0, stage: null });
  bench.hand.putTray();
  bench.hand.soak();
  bench.run(HOUR_MS);
  bench.hand.sow();
  bench.run(10 * MINUTE_MS);
  call('mark.set', { mark: 'sown' });
  bench.run(2000);
  end?.close();
  return bench;
}

/** A chip whose journal has gone round its ring: the slowest start, the longest pull. */
function fullFlash(bench: Bench): SimulatedFlash {
  const flash = new SimulatedFlash({ contents: bench.flash.bytes });
  const journal = openJournal(flash);
  const full = (FLASH_MAP.journal.bytes / FLASH_SECTOR_BYTES) * ENTRIES_PER_SECTOR;
  for (let i = 0; i < full; i += 1) journal.append(1, 0, { kind: 'fault', code: 0, detail: i });
  return flash;
}

/** What the runtime measures about itself (`firmware/runtime/figures.h`), and how full its arena is. */
function measured(chip: Chip, { symbols }: BuiltImage) {
  const at = (name: string) => symbols.get(name) ?? RAM_START;
  const word = (index: number) => chip.word(at('figures') + 4 * index);
  const chunksEnd = chip.word(at('chunks_end'));
  const slotsStart = chip.word(at('slots_start'));
  const arenaBytes = at('engine_memory_end') - chip.word(at('libc_end'));
  return {
    ticks: word(1),
    tickUs: word(2),
    tickMaxUs: word(3),
    liveSlots: word(5),
    liveChunkBytes: word(6),
    arenaBytes,
    takenBytes: arenaBytes - (slotsStart - chunksEnd),
    liveBytes: word(5) * SLOT_BYTES + word(6),
  };
}

function starts(image: BuiltImage, full: SimulatedFlash): Row[] {
  const fresh = new Chip({ flash: flashWithImage(image.bytes) });
  fresh.powerOn();
  fresh.runUntil(() => fresh.drives('mat') && fresh.drives('pump'), 1000, 0.01);
  const safeMs = fresh.nowMs;
  const firstTickMs = (chip: Chip): number => {
    chip.runUntil(() => measured(chip, image).ticks > 0 && chip.nowMs > 50, 10_000);
    return chip.nowMs;
  };
  const freshMs = firstTickMs(fresh);
  full.bytes.set(image.bytes);
  const used = new Chip({ flash: full });
  used.powerOn();
  return [
    row('image: reset to outputs known safe', `${safeMs.toFixed(2)} ms`, 'under 5 ms'),
    row(
      'image: reset to first control tick, new board',
      `${freshMs.toFixed(0)} ms`,
      'under 1500 ms',
    ),
    row(
      'image: reset to first control tick, journal full',
      `${firstTickMs(used).toFixed(0)} ms`,
      'under 1500 ms',
    ),
  ];
}

/** Pages of a full journal, one request after the other as the laptop tool sends them. */
function pull(image: BuiltImage, full: SimulatedFlash, door: Door): Row {
  const flash = new SimulatedFlash({ contents: full.bytes });
  flash.bytes.set(image.bytes);
  const chip = new Chip({ flash });
  let bytes = 0;
  let reply: { readonly from: number; readonly count: number; readonly first: number } | null =
    null;
  const decode = createLineDecoder(LINK_LIMITS.lineToHostBytes, (line) => {
    if (line.kind === 'text') reply = JSON.parse(line.text).result;
  });
  const heard = (data: Uint8Array): void => {
    bytes += data.length;
    decode(data);
  };
  if (door === DOOR.usb) chip.onUsbData = heard;
  else chip.onUartData = heard;
  chip.powerOn();
  chip.openUsb(door === DOOR.usb);
  chip.run(3000);
  let from = 1;
  let startMs = 0;
  for (let page = 0; page <= PAGES; page += 1) {
    // The first page only tells where the journal begins.
    if (page === 1) {
      startMs = chip.nowMs;
      bytes = 0;
    }
    reply = null;
    const params = { from, count: LINK_LIMITS.pageEntries };
    const request = { jsonrpc: '2.0', id: page + 1, method: 'journal.page', params };
    const line = encodeLine(JSON.stringify(request));
    if (door === DOOR.usb) chip.writeUsb(line);
    else chip.writeUart(line);
    chip.runUntil(() => reply !== null, 5000, 0.1);
    const got = reply as { readonly from: number; readonly count: number } | null;
    from = got === null ? from : got.from + got.count;
  }
  const perS = bytes / ((chip.nowMs - startMs) / 1000);
  const share = (100 * perS) / LIMIT_BYTES_PER_S[door];
  return row(
    `image: journal pull over emulated ${door === DOOR.usb ? 'USB' : 'UART0'}, simulated time`,
    `${(perS / 1000).toFixed(1)} kB/s, ${share.toFixed(0)} % of the link's limit`,
    door === DOOR.usb ? '-' : '80 %',
  );
}

/** A day of a tray in service: ticks, memory, and how fast it goes by. */
function day(image: BuiltImage, { rig, flash }: Bench): Row[] {
  const bench = new ChipBench({ seed: 1, image: image.bytes, rig, flash });
  const { chip } = bench;
  bench.run(5000);
  const boot = measured(chip, image);
  const rows: Row[] = [];
  let tickSumUs = 0;
  let samples = 0;
  const from = performance.now();
  for (let hour = 1; hour <= HOURS; hour += 1) {
    for (let second = 0; second < 3600; second += 1) {
      bench.run(1000);
      tickSumUs += measured(chip, image).tickUs;
      samples += 1;
    }
    const { liveSlots, liveChunkBytes, takenBytes } = measured(chip, image);
    // The engine sweeps its chunks only when they are full: they rise for hours, and fall back.
    const now = `${liveSlots} slots, chunks ${kb(liveChunkBytes)}, heap ${kb(takenBytes)}`;
    rows.push(row(`image: memory after hour ${hour}`, now, 'no growth'));
  }
  const times = (HOURS * HOUR_MS) / (performance.now() - from);
  const end = measured(chip, image);
  const maxMs = end.tickMaxUs / 1000;
  return [
    row('image: arena taken after boot', `${kb(boot.takenBytes)} of ${kb(boot.arenaBytes)}`),
    row('image: arena taken at most in a day (nothing is given back)', kb(end.takenBytes)),
    row('image: arena never taken', kb(end.arenaBytes - end.takenBytes), 'at least 48 KB'),
    row(
      'image: slack, arena less what lives at the end of the day',
      kb(end.arenaBytes - end.liveBytes),
      'at least 48 KB',
    ),
    row(
      'image: control tick, mean and longest in a day',
      `${(tickSumUs / samples / 1000).toFixed(1)} ms, ${maxMs.toFixed(1)} ms`,
      'under 50 ms',
    ),
    row(
      'image: a day of a tray in service, against real time',
      `${times.toFixed(0)} times`,
      'at least 10 times',
    ),
    ...rows,
  ];
}

/** Rows of the image; one that says why when it cannot be built here. */
export async function imageRows(): Promise<Row[]> {
  const missing = await missingTools();
  if (missing.length > 0) {
    return [row('image: skipped', `${missing.join(' and ')} is missing: see DEVELOPERS.md`)];
  }
  const image = await buildImage();
  const parts = (await imageParts(image)).map(({ name, bytes }) =>
    row(`image: ${name}`, kb(bytes)),
  );
  const bench = inService();
  const full = fullFlash(bench);
  return [
    ...parts,
    ...starts(image, full),
    pull(image, full, DOOR.uart),
    pull(image, full, DOOR.usb),
    ...day(image, bench),
  ];
}
