import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../firmware/guard/finding';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { MatLineWatch } from '../../firmware/guard/mat-line-watch';
import type { MatCodes } from '../../firmware/sensing/mat-line';
import { loadNodes, type MatPath } from '../../shared/board/loads';
import { loadsSenseCode } from '../../shared/board/map';
import { MAT_OPEN } from '../../shared/board/words';
import { holds } from '../properties';

/** A look at a mat of 24 V whose switch does, told to open and to close, `switchClosed`. */
function look(path: Partial<MatPath> = {}, switchClosed = [false, true]): MatCodes {
  const [openCode = 0, closedCode = 0] = switchClosed.map((closed) =>
    loadsSenseCode(loadNodes(24, { fuse: 'whole', lead: 'whole', ...path, switchClosed: closed })),
  );
  return { openCode, closedCode };
}
const SOUND = look();
const LEAD_OPEN = look({ lead: 'open' });
const FUSE_BLOWN = look({ fuse: 'blown' });
const WELDED = look({}, [true, true]);
const SWITCH_OPEN = look({}, [false, false]);
const NONSENSE: MatCodes = { openCode: 4000, closedCode: 100 };

/** A mat as it is while it heats; and one as hot as opens its cut-out. */
const WARM = { celsius: 31 };
const HOT = { celsius: GUARD_LIMITS.cutOutC };
/** Hot enough for an alarm, and far from opening it. */
const TOO_WARM = { celsius: GUARD_LIMITS.matHotC + 5 };

/** What is said of each look, a tick without one after it. */
function said(looks: readonly MatCodes[], isAsLetGo = false, mat = WARM): string[] {
  const watch = new MatLineWatch();
  const text = (finding: Finding): string => {
    const value = finding.is === 'present' ? ` ${finding.value}` : '';
    return `${finding.alarm} ${finding.is}${value}`;
  };
  return looks.map((codes) => {
    const findings = watch.tick({ mat, matLook: { ...codes, isAsLetGo }, uptimeMs: 0 });
    expect(watch.tick({ mat, matLook: null, uptimeMs: 0 })).toEqual([]);
    return findings.length === 0 ? 'nothing' : findings.map(text).join(', ');
  });
}

describe("the mat's line", () => {
  it('is whole from the first look on that says so', () => {
    expect(said([SOUND])).toEqual(['mat-open absent']);
    expect(said([LEAD_OPEN, LEAD_OPEN, SOUND]).at(-1)).toBe('mat-open absent');
  });

  it.each([
    ['its fuse', FUSE_BLOWN, MAT_OPEN.fuse],
    ['its lead', LEAD_OPEN, MAT_OPEN.lead],
    ['its own switch', SWITCH_OPEN, MAT_OPEN.switch],
  ])('is open at %s when two looks in a row say so', (_, open, value) => {
    expect(said([SOUND, open, open])).toEqual([
      'mat-open absent',
      'nothing',
      `mat-open present ${value}`,
    ]);
  });

  it('is open at its cut-out where its lead is, and it was as hot as opens that since it was last whole', () => {
    expect(said([LEAD_OPEN, LEAD_OPEN], false, TOO_WARM)[1]).toBe(
      `mat-open present ${MAT_OPEN.lead}`,
    );
    expect(said([LEAD_OPEN, LEAD_OPEN], false, HOT)[1]).toBe(`mat-open present ${MAT_OPEN.cutOut}`);
    expect(said([FUSE_BLOWN, FUSE_BLOWN], false, HOT)[1]).toBe(`mat-open present ${MAT_OPEN.fuse}`);
    const watch = new MatLineWatch();
    const look = (codes: MatCodes | null, mat: { celsius: number }) =>
      watch.tick({ mat, matLook: codes && { ...codes, isAsLetGo: false }, uptimeMs: 0 });
    // Hot with the switch welded, and cold again by the time that heat is asked for.
    look(null, HOT);
    look(LEAD_OPEN, WARM);
    expect(look(LEAD_OPEN, WARM)).toMatchObject([{ value: MAT_OPEN.cutOut }]);
    look(SOUND, WARM);
    look(LEAD_OPEN, { celsius: Number.NaN });
    expect(look(LEAD_OPEN, WARM)).toMatchObject([{ value: MAT_OPEN.lead }]);
  });

  it('is not judged by one look, nor by two that differ', () => {
    expect(said([FUSE_BLOWN, LEAD_OPEN, FUSE_BLOWN, WELDED])).toEqual(Array(4).fill('nothing'));
    expect(said([LEAD_OPEN, NONSENSE, LEAD_OPEN])).toEqual(Array(3).fill('nothing'));
  });

  it('is told anew where it is open at another place, once the first is mended', () => {
    const looks = [FUSE_BLOWN, FUSE_BLOWN, LEAD_OPEN, LEAD_OPEN, LEAD_OPEN];
    expect(said(looks).slice(1)).toEqual([
      `mat-open present ${MAT_OPEN.fuse}`,
      'nothing',
      `mat-open absent, mat-open present ${MAT_OPEN.lead}`,
      `mat-open present ${MAT_OPEN.lead}`,
    ]);
  });

  it('that is open is let go when heat was not asked for, and nobody could look, for a day; two looks tell it anew', () => {
    const watch = new MatLineWatch();
    const at = (uptimeMs: number, codes: MatCodes | null) =>
      watch.tick({ mat: WARM, matLook: codes && { ...codes, isAsLetGo: false }, uptimeMs });
    const lookedMs = 5_000;
    for (const ms of [0, lookedMs]) at(ms, LEAD_OPEN);
    const goneMs = lookedMs + GUARD_LIMITS.matUnlookedMs;
    expect(at(goneMs - 1, null)).toEqual([]);
    expect(at(goneMs, null)).toEqual([{ alarm: 'mat-open', is: 'absent' }]);
    expect(at(goneMs + 1, null)).toEqual([]);
    expect(at(2 * goneMs, LEAD_OPEN)).toEqual([]);
    expect(at(2 * goneMs + 1, LEAD_OPEN)).toMatchObject([{ alarm: 'mat-open', is: 'present' }]);
  });

  it('is welded when two looks say so while it heats, and by one that was made as it was let go', () => {
    expect(said([WELDED, WELDED])).toEqual(['nothing', 'mat-stuck-on happened']);
    expect(said([WELDED], true)).toEqual(['mat-stuck-on happened']);
    expect(said([LEAD_OPEN], true)).toEqual(['nothing']);
  });
});

describe('over any course of looks', () => {
  const KINDS = [SOUND, FUSE_BLOWN, LEAD_OPEN, SWITCH_OPEN, WELDED, NONSENSE];
  const tick = fc.record({
    /** Without any: heat is not asked for. */
    codes: fc.option(fc.constantFrom(...KINDS)),
    isAsLetGo: fc.boolean(),
    afterMs: fc.constantFrom(1_000, 10 * 60_000, GUARD_LIMITS.matUnlookedMs),
    celsius: fc.constantFrom(WARM.celsius, HOT.celsius, Number.NaN),
  });
  const OPEN: readonly (MatCodes | null)[] = [FUSE_BLOWN, LEAD_OPEN, SWITCH_OPEN];

  it('no fault is told of without two looks that say the same, but of a switch as it is let go, and it stands until it is seen whole', () => {
    holds(
      fc.property(fc.array(tick, { maxLength: 60 }), (ticks) => {
        const watch = new MatLineWatch();
        let [uptimeMs, lookedMs, standsOpen] = [0, 0, false];
        let before: MatCodes | null = null;
        for (const { codes, isAsLetGo, afterMs, celsius } of ticks) {
          uptimeMs += afterMs;
          const matLook = codes && { ...codes, isAsLetGo };
          const findings = watch.tick({ mat: { celsius }, matLook, uptimeMs });
          const stoodOpen = standsOpen;
          for (const { alarm, is } of findings) {
            if (alarm === 'mat-open') standsOpen = is === 'present';
            if (alarm === 'mat-open' && is === 'present') expect(OPEN).toContain(codes);
            if (alarm === 'mat-stuck-on') expect(codes).toBe(WELDED);
            if (is !== 'absent' && !(codes === WELDED && isAsLetGo)) expect(codes).toBe(before);
          }
          if (codes !== null) [before, lookedMs] = [codes, uptimeMs];
          const unlooked = codes === null && uptimeMs - lookedMs >= GUARD_LIMITS.matUnlookedMs;
          if (codes === SOUND || unlooked) expect(standsOpen).toBe(false);
          else if (stoodOpen) expect(standsOpen).toBe(true);
        }
      }),
      { numRuns: 400 },
    );
  });

  it('a line that is open from some look on is told by the second one after it, and where', () => {
    const fault = fc.constantFrom(
      { codes: FUSE_BLOWN, place: MAT_OPEN.fuse, hotPlace: MAT_OPEN.fuse },
      { codes: LEAD_OPEN, place: MAT_OPEN.lead, hotPlace: MAT_OPEN.cutOut },
      { codes: SWITCH_OPEN, place: MAT_OPEN.switch, hotPlace: MAT_OPEN.switch },
    );
    holds(
      fc.property(fc.array(tick, { maxLength: 20 }), fault, fc.boolean(), (ticks, open, isHot) => {
        const watch = new MatLineWatch();
        let uptimeMs = 0;
        const look = (codes: MatCodes | null, mat = WARM) =>
          watch.tick({ mat, matLook: codes && { ...codes, isAsLetGo: false }, uptimeMs });
        for (const { codes, afterMs } of ticks) {
          uptimeMs += afterMs;
          look(codes);
        }
        const mat = isHot ? HOT : WARM;
        look(open.codes, mat);
        const told = look(open.codes, mat).filter(({ is }) => is === 'present');
        const value = isHot ? open.hotPlace : open.place;
        expect(told).toMatchObject([{ alarm: 'mat-open', value }]);
      }),
    );
  });
});
