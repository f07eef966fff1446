/** A tray in the middle of its work, on the real image, for those who would disturb it over the link. */
import { expect } from 'vitest';
import { Chip, flashWithImage } from '../../firmware/bench/chip/chip';
import { type FlashTimes, TYPICAL_FLASH } from '../../firmware/bench/chip/rom';
import type { BuiltImage } from '../../firmware/image/build';
import { type Door, SAFETY_STEP_MS } from '../../shared/board/map';
import { fromBase64 } from '../../shared/bytes';
import { ENTRY_BYTES } from '../../shared/journal/codec';
import { figures, trayward, usedFlash } from './images';
import { Talk } from './talk';

/** ADC codes of both probes at about 18 C, below any band, and at about 30 C, above it. */
const COLD_CODE = 2390;
const WARM_CODE = 1820;
/** Longest time that the control leaves the mat on once it is too warm: its minimum on-time and a tick. */
const SWITCH_MS = 62_000;
/** What the tray itself may have grown by meanwhile: an alarm, and records of the last half hour. */
const SLOTS_MAX = 150;
const CHUNK_BYTES_MAX = 6 * 1024;
/** Requests between two collections, at most; the least of what several find is what really lives. */
const COLLECTIONS = 6;
const ODD_ONE = 3;
const REQUESTS_MAX = 200;
/** Time that the runtime's own work takes. */
const BESIDE_MS = 5;

/**
 * How long the mat was off, ms, the times left out for which its switch opens to be looked at: one safety step, or what
 * an erase makes of it. Ask with the time of now.
 */
function matOffTimer(chip: Chip, { eraseSectorMs }: FlashTimes): (nowMs: number) => number {
  const lookMostMs = SAFETY_STEP_MS + eraseSectorMs + BESIDE_MS;
  let offMs = 0;
  let sinceMs: number | null = 0;
  const before = chip.onOutput;
  chip.onOutput = (change) => {
    before(change);
    if (change.output !== 'mat') return;
    const lastedMs = sinceMs === null ? 0 : change.atMs - sinceMs;
    if (lastedMs > lookMostMs) offMs += lastedMs;
    sinceMs = change.on ? null : change.atMs;
  };
  return (nowMs) =>
    offMs + (sinceMs === null || nowMs - sinceMs <= lookMostMs ? 0 : nowMs - sinceMs);
}

interface Live {
  readonly slots: number;
  readonly chunkBytes: number;
}

/** A board in service: each test does it some mischief, and what comes after each is the same. */
export class TrayInHeat {
  readonly chip: Chip;
  private readonly matOffFor: (nowMs: number) => number;
  private readonly liveAtFirst: Live;
  private readonly offAtFirstMs: number;

  /** `flash`: content of the flash of a board in service; it is copied. */
  constructor(
    private readonly image: BuiltImage,
    flash: Uint8Array,
    readonly door: Door,
    flashTimes: FlashTimes = TYPICAL_FLASH,
  ) {
    this.chip = new Chip({ flash: flashWithImage(flash), flashTimes });
    this.chip.adcCodes.fill(COLD_CODE);
    this.matOffFor = matOffTimer(this.chip, flashTimes);
    this.chip.powerOn();
    this.chip.runUntil(() => this.chip.outputsOn.has('mat'), 120_000, 100);
    expect(this.chip.outputsOn.has('mat')).toBe(true);
    this.offAtFirstMs = this.matOffMs;
    this.liveAtFirst = this.live(new Talk(this.chip, door));
  }

  /** A new program at the tray's door, or at another one. */
  talk(door: Door = this.door): Talk {
    return new Talk(this.chip, door);
  }

  /** Lets the board take in all that is on the way, and answer. */
  digest(): void {
    const { chip } = this;
    const onTheWay = () => (chip.usb?.onTheWay ?? 0) + (chip.uart?.onTheWay ?? 0);
    expect(chip.runUntil(() => onTheWay() === 0, 60_000, 10)).toBe(true);
    chip.run(1000);
  }

  /** Nothing since the start has done the tray or the board any harm, and the next request is answered. */
  expectUnharmed(): void {
    const { chip } = this;
    const talk = this.talk();
    expect(talk.insist('status.read')).toMatchObject({ stage: { name: 'germinate' } });
    expect(chip.starts).toHaveLength(1);
    expect(chip.faults).toEqual([]);
    expect(chip.complaints).toEqual([]);
    expect(this.matOffMs).toBe(this.offAtFirstMs);
    expect(chip.outputsOn.has('pump')).toBe(false);
  }

  /** Nothing since the start has left anything behind in the engine's heap. For the end: it takes long. */
  expectNothingKept(): void {
    const { slots, chunkBytes } = this.live(this.talk());
    expect(slots - this.liveAtFirst.slots).toBeLessThan(SLOTS_MAX);
    expect(chunkBytes - this.liveAtFirst.chunkBytes).toBeLessThan(CHUNK_BYTES_MAX);
  }

  /** The control still has the mat in its hand. */
  expectSwitchesOff(): void {
    this.chip.adcCodes.fill(WARM_CODE);
    this.chip.run(SWITCH_MS);
    expect(this.chip.outputsOn.has('mat')).toBe(false);
  }

  private get matOffMs(): number {
    return Math.round(this.matOffFor(this.chip.nowMs));
  }

  /** What lives in the engine's heap, as its collector finds it while it answers. */
  private live(talk: Talk): Live {
    const read = () => figures(this.chip, this.image);
    let seen = read().collections;
    const found: Live[] = [];
    for (let i = 0; i < REQUESTS_MAX && found.length < COLLECTIONS; i++) {
      // One now and then that takes other memory: else collections come at the same point of each answer.
      talk.insist(i % ODD_ONE === 0 ? 'journal.info' : 'status.read');
      const { collections, liveSlots, liveChunkBytes } = read();
      if (collections > seen) found.push({ slots: liveSlots, chunkBytes: liveChunkBytes });
      seen = collections;
    }
    expect(found).toHaveLength(COLLECTIONS);
    return {
      slots: Math.min(...found.map(({ slots }) => slots)),
      chunkBytes: Math.min(...found.map(({ chunkBytes }) => chunkBytes)),
    };
  }
}

/** A tray in service whose program talks to it at this door. */
export async function inService(door: Door, flashTimes?: FlashTimes): Promise<TrayInHeat> {
  const image = await trayward();
  return new TrayInHeat(image, usedFlash(image).bytes, door, flashTimes);
}

/** Whole entries in a reply of `journal.page`. */
export const entriesIn = ({ data }: Readonly<Record<string, unknown>>): number =>
  (fromBase64(String(data))?.length ?? Number.NaN) / ENTRY_BYTES;
