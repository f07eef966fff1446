import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ALARM_CHANGES, ALARM_NAMES } from '../../shared/alarms/catalogue';
import { crc32, writeU32 } from '../../shared/bytes';
import { ENTRY_BYTES, isEntrySound, packEntry, unpackEntry } from '../../shared/journal/codec';
import {
  CALIBRATION_TARGETS,
  DOSE_REASONS,
  DOSE_VERDICTS,
  type EntryHead,
  type JournalBody,
  type JournalEntry,
  type JournalKind,
  STAGE_REASONS,
} from '../../shared/journal/kinds';
import { CRC_AT, HEAD, LAYOUT } from '../../shared/journal/layout';
import { MARKS } from '../../shared/profile/profile';

const u8 = fc.nat(255);
const u32 = fc.integer({ min: 0, max: 0xffff_ffff });
const yesNo = fc.boolean();
const orNone = (values: fc.Arbitrary<number>) =>
  fc.oneof({ weight: 5, arbitrary: values }, { weight: 1, arbitrary: fc.constant(Number.NaN) });
/** Numbers on the steps that an entry keeps: whole codes over `scale`. */
const steps = (low: number, high: number, scale: number) =>
  orNone(fc.integer({ min: low, max: high }).map((code) => code / scale));
const celsius = steps(-32_767, 32_767, 100);
const grams = steps(-0x7fff_ffff, 0x7fff_ffff, 10);
const share = steps(-32_767, 32_767, 10_000);
const float = fc.float();
const double = fc.double();

const reading = {
  rootZoneC: celsius,
  matC: celsius,
  trayG: grams,
  dryBackShare: share,
  matDutyShare: share,
  outputs: u8,
  stage: u8,
  spreadG: steps(0, 0xfffe, 50),
};

type Bodies = {
  readonly [Kind in JournalKind]: fc.Arbitrary<JournalBody & { readonly kind: Kind }>;
};
const kind = <const K extends string>(name: K) => fc.constant(name);

/** Every kind of entry the journal knows, any value it can hold. The type forgets none. */
const BODIES: Bodies = {
  boot: fc.record({
    kind: kind('boot'),
    cause: u8,
    detail: u32,
    firmware: u32,
    profileId: u32,
    faultRestarts: u8,
  }),
  clock: fc.record({ kind: kind('clock'), unixMs: double, outageS: u32 }),
  reading: fc.record({ kind: kind('reading'), ...reading }),
  trace: fc.record({ kind: kind('trace'), ...reading }),
  stage: fc.record({
    kind: kind('stage'),
    from: u8,
    to: u8,
    reason: fc.constantFrom(...STAGE_REASONS),
    ranS: u32,
    waterMl: float,
  }),
  mark: fc.record({
    kind: kind('mark'),
    mark: fc.constantFrom(...MARKS),
    stage: u8,
    trayG: grams,
    rootZoneC: celsius,
  }),
  dose: fc.record({
    kind: kind('dose'),
    reason: fc.constantFrom(...DOSE_REASONS),
    verdict: fc.constantFrom(...DOSE_VERDICTS),
    stage: u8,
    plannedMl: steps(0, 0xfffe, 10),
    ranMs: u32,
    beforeG: grams,
    gainedG: grams,
  }),
  alarm: fc.record({
    kind: kind('alarm'),
    alarm: fc.constantFrom(...ALARM_NAMES),
    change: fc.constantFrom(...ALARM_CHANGES),
    stage: u8,
    value: float,
    limit: float,
    forS: u32,
  }),
  handling: fc.record({ kind: kind('handling'), over: yesNo, beforeG: grams, afterG: grams }),
  capacity: fc.record({
    kind: kind('capacity'),
    capacityG: grams,
    dryG: grams,
    dryWeighed: yesNo,
  }),
  calibration: fc.record({
    kind: kind('calibration'),
    target: fc.constantFrom(...CALIBRATION_TARGETS),
    restored: yesNo,
    a: float,
    b: float,
    c: float,
  }),
  profile: fc.record({
    kind: kind('profile'),
    action: fc.constantFrom('loaded', 'refused', 'erased'),
    slot: u8,
    profileId: u32,
    stageBefore: u8,
    stageAfter: u8,
  }),
  fault: fc.record({ kind: kind('fault'), code: double, detail: double }),
  gap: fc.record({ kind: kind('gap'), lost: u32 }),
};
const anyBody: fc.Arbitrary<JournalBody> = fc.oneof(...Object.values(BODIES));
const anyHead: fc.Arbitrary<EntryHead> = fc.record({
  sequence: fc.integer({ min: 1, max: 0xffff_fffe }),
  boot: fc.nat(0xffff),
  uptimeMs: u32.map((steps100) => steps100 * 100),
});

const packed = (head: EntryHead, body: JournalBody): Uint8Array => {
  const bytes = new Uint8Array(ENTRY_BYTES);
  packEntry(head, body, bytes, 0);
  return bytes;
};

describe('a journal entry', () => {
  for (const [name, body] of Object.entries(BODIES)) {
    it(`of kind ${name} comes back from its 32 bytes as it was`, () => {
      fc.assert(
        fc.property(anyHead, body as fc.Arbitrary<JournalBody>, (head, one) => {
          const entry = unpackEntry(packed(head, one), 0);
          expect(withoutSigns(entry)).toEqual(withoutSigns({ ...head, ...one }));
        }),
      );
    });
  }

  it('lies at any place of a page, and touches nothing beside it', () => {
    fc.assert(
      fc.property(anyHead, anyBody, fc.nat(96), (head, body, offset) => {
        const page = new Uint8Array(160).fill(0x5a);
        packEntry(head, body, page, offset);
        expect(page.subarray(offset, offset + ENTRY_BYTES)).toEqual(packed(head, body));
        expect(page.filter((byte, i) => byte !== 0x5a && (i < offset || i >= offset + 32))).toEqual(
          new Uint8Array(0),
        );
        expect(unpackEntry(page, offset)).toEqual(unpackEntry(packed(head, body), 0));
      }),
    );
  });

  it('with any single bit changed is no entry', () => {
    fc.assert(
      fc.property(anyHead, anyBody, fc.nat(ENTRY_BYTES * 8 - 1), (head, body, bit) => {
        const bytes = packed(head, body);
        bytes[bit >> 3] = (bytes[bit >> 3] ?? 0) ^ (1 << (bit & 7));
        expect(unpackEntry(bytes, 0)).toBe(null);
      }),
    );
  });

  it('is none in erased flash, in zeros, or where the bytes end too soon', () => {
    expect(unpackEntry(new Uint8Array(ENTRY_BYTES).fill(0xff), 0)).toBe(null);
    expect(unpackEntry(new Uint8Array(ENTRY_BYTES), 0)).toBe(null);
    fc.assert(
      fc.property(anyHead, anyBody, fc.nat(ENTRY_BYTES - 1), (head, body, length) => {
        expect(unpackEntry(packed(head, body).subarray(0, length), 0)).toBe(null);
      }),
    );
  });

  it('is never read into arbitrary bytes, and those never make it throw', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 80 }), fc.nat(100), (bytes, offset) => {
        expect(unpackEntry(bytes, offset)).toBe(null);
      }),
    );
  });

  it('of a kind, or with a word, that newer firmware added is sound, and not understood', () => {
    const sealed = (bytes: Uint8Array): Uint8Array => {
      writeU32(bytes, CRC_AT, crc32(bytes, 0, CRC_AT));
      return bytes;
    };
    const head = { sequence: 7, boot: 1, uptimeMs: 0 };
    const newKind = packed(head, { kind: 'gap', lost: 3 });
    newKind[HEAD.kind] = Object.keys(LAYOUT).length + 1;
    expect(unpackEntry(sealed(newKind), 0)).toBe(null);
    expect(isEntrySound(newKind, 0)).toBe(true);
    const newWord = packed(head, {
      kind: 'mark',
      mark: 'sown',
      stage: 0,
      trayG: 1,
      rootZoneC: 1,
    });
    newWord[LAYOUT.mark.mark.at] = MARKS.length;
    expect(unpackEntry(sealed(newWord), 0)).toBe(null);
  });

  it('keeps wild values at the end of their range, and never as a value that means none', () => {
    const wild = packed(
      { sequence: 1, boot: 99_999, uptimeMs: 0 },
      {
        kind: 'reading',
        rootZoneC: 5_000,
        matC: -5_000,
        trayG: 1e12,
        dryBackShare: Number.POSITIVE_INFINITY,
        matDutyShare: Number.NaN,
        outputs: 300,
        stage: 255,
        spreadG: 1e9,
      },
    );
    expect(unpackEntry(wild, 0)).toMatchObject({
      boot: 0xffff,
      rootZoneC: 327.67,
      matC: -327.67,
      trayG: 214_748_364.7,
      dryBackShare: 3.2767,
      matDutyShare: Number.NaN,
      outputs: 255,
      spreadG: 1310.68,
    });
  });
});

/** For comparison: an entry may lose the sign of a zero. */
function withoutSigns(entry: JournalEntry | null): unknown {
  return Object.entries(entry ?? {})
    .map(([name, value]) => [name, value === 0 ? 0 : value])
    .sort();
}
