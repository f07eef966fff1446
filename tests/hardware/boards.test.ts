/** The boards that can be ordered: held against the circuit, and against their own rules, without KiCad. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { netOf } from '../../hardware/circuit/circuit';
import type { PinRef } from '../../hardware/circuit/kinds';
import { type Expression, findAll, parseExpression } from '../../hardware/export/edif';
import { type Board, boardOf } from '../../hardware/pcb/board';
import { tooNear, tooThin, unjoined } from '../../hardware/pcb/board-checks';
import { boardText } from '../../hardware/pcb/board-file';
import { footprint, MOUNTING_HOLE } from '../../hardware/pcb/footprints';
import { LAYOUTS, layoutOf } from '../../hardware/pcb/layouts';
import { kicadNets } from '../../hardware/pcb/net-names';
import { onBoard } from '../../hardware/pcb/placed';
import { CARRIER, POWER, padsOf } from '../../hardware/pcb/projects';

const word = (form: readonly Expression[] | undefined, index: number): string => {
  const found = form?.[index];
  return typeof found === 'string' ? found.replaceAll('"', '') : '';
};

/** Nets of a board's file: part and pad by KiCad's name of the net. */
function netsOfFile(text: string): Map<string, Set<string>> {
  const nets = new Map<string, Set<string>>();
  for (const part of findAll(parseExpression(text), 'footprint')) {
    const reference = findAll(part, 'property').find((form) => word(form, 1) === 'Reference');
    for (const pad of findAll(part, 'pad')) {
      const [net] = findAll(pad, 'net');
      if (net === undefined) continue;
      const name = word(net, 2);
      nets.set(name, (nets.get(name) ?? new Set()).add(`${word(reference, 2)}.${word(pad, 1)}`));
    }
  }
  return nets;
}

describe.each(LAYOUTS.map((layout) => [layout.project.name, layout] as const))(
  'the %s board',
  (_, layout) => {
    const { project } = layout;
    const board = boardOf(layout);

    test('has a footprint with the right pads for every part that is soldered to it', () => {
      for (const part of project.parts) {
        if (part.footprint === null) continue;
        const numbers = new Set(footprint(part.footprint).pads.map(({ number }) => number));
        const wanted = [...part.pads.values()].flat();
        expect(
          wanted.filter((number) => !numbers.has(number)),
          part.ref,
        ).toEqual([]);
        const idle = [...numbers].filter((number) => number !== '' && !wanted.includes(number));
        if (!['A1', 'J8'].includes(part.ref)) expect(idle, part.ref).toEqual([]);
      }
    });

    test('joins the pads of every net of the circuit, and of no other', () => {
      const names = kicadNets(project);
      const wanted = new Map<string, Set<string>>();
      for (const net of project.circuit.nets) {
        const pads = net.pins.flatMap((pin) => {
          const found = padsOf(project, pin);
          if (found === null || found.part.footprint === null) return [];
          return found.pads.map((pad) => `${found.part.ref}.${pad}`);
        });
        if (pads.length > 0) wanted.set(names.get(net.name) ?? '', new Set(pads));
      }
      expect(netsOfFile(boardText(board))).toEqual(wanted);
    });

    test('has copper between all pads of each net, and none too near to another', () => {
      expect(unjoined(board)).toEqual([]);
      expect(tooNear(board)).toEqual([]);
    });

    test('carries each load in copper of the width for its fuse', () => {
      expect(layout.loads.flatMap((load) => tooThin(board, load))).toEqual([]);
    });

    test('has its parts apart from each other, from the screws and on the board', () => {
      const boxes = [
        ...board.parts.map(({ part, spot, shape: { courtyard } }) => {
          const a = onBoard(spot, { x: courtyard.left, y: courtyard.top });
          const b = onBoard(spot, { x: courtyard.right, y: courtyard.bottom });
          return {
            ref: part.ref,
            left: Math.min(a.x, b.x),
            right: Math.max(a.x, b.x),
            top: Math.min(a.y, b.y),
            bottom: Math.max(a.y, b.y),
          };
        }),
        ...layout.holes.map(({ x, y }, index) => ({
          ref: `H${index + 1}`,
          left: x - 3.4,
          right: x + 3.4,
          top: y - 3.4,
          bottom: y + 3.4,
        })),
      ];
      const clashing = boxes.flatMap((a, i) =>
        boxes
          .slice(i + 1)
          .filter(
            (b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom,
          )
          .map((b) => `${a.ref} and ${b.ref}`),
      );
      expect(clashing).toEqual([]);
      const off = boxes.filter(
        ({ left, right, top, bottom }) =>
          left < 0 || top < 0 || right > layout.width || bottom > layout.height,
      );
      expect(off.map(({ ref }) => ref)).toEqual([]);
    });
  },
);

describe('a mistake on the power board is found out', () => {
  const board = boardOf(layoutOf(POWER));
  const [load] = board.layout.loads.filter(({ net }) => net === 'MAT_LOW');
  const without = (net: string): Board => ({
    ...board,
    tracks: board.tracks.filter((track) => track.net !== net),
  });

  test('a track left out', () => {
    expect(unjoined(without('MAT')).join()).toContain('(MAT)');
  });

  test('a ground without its pour', () => {
    const fills = board.fills.filter(({ pour }) => pour.net !== 'GROUND');
    expect(unjoined({ ...board, fills }).join()).toContain('(GROUND)');
  });

  test('a track that strays to another net', () => {
    const tracks = board.tracks.map((track) =>
      track.net === 'FEED' ? { ...track, to: { x: track.to.x, y: track.to.y + 4 } } : track,
    );
    expect(tooNear({ ...board, tracks }).join()).toContain('track of FEED');
  });

  test('a track too thin for its fuse', () => {
    if (load === undefined) throw new Error('there is no such load');
    const tracks = board.tracks.map((track) => ({ ...track, width: Math.min(track.width, 0.5) }));
    expect(tooThin({ ...board, tracks }, load)).not.toEqual([]);
  });
});

/** Debian's package kicad-footprints. */
const LIBRARY = '/usr/share/kicad/footprints';

test.skipIf(!existsSync(LIBRARY))(
  "every footprint has the pads and holes of the one in KiCad's libraries",
  () => {
    const padPattern =
      /\(pad "([^"]*)" \w+ \w+\s*\(at ([-\d.]+) ([-\d.]+)[^)]*\)\s*\(size ([\d.]+) ([\d.]+)\)(?:\s*\(drill ([\d.]+)\))?/g;
    const names = new Set(
      LAYOUTS.flatMap(({ project }) => project.parts.flatMap(({ footprint: name }) => name ?? [])),
    );
    for (const name of [...names, MOUNTING_HOLE]) {
      const [library = '', file = ''] = name.split(':');
      const text = readFileSync(`${LIBRARY}/${library}.pretty/${file}.kicad_mod`, 'utf8');
      const theirs = [...text.matchAll(padPattern)].map(([, number, ...sizes]) =>
        [number, ...sizes.map((size) => (size === undefined ? 'no hole' : Number(size)))].join(' '),
      );
      const own = footprint(name).pads.map(({ number, x, y, width, height, drill }) =>
        [
          number,
          Number(x.toFixed(3)),
          Number(y.toFixed(3)),
          width,
          height,
          drill ?? 'no hole',
        ].join(' '),
      );
      expect(new Set(own), name).toEqual(new Set(theirs));
    }
  },
);

describe('the grounds', () => {
  const carrier = boardOf(layoutOf(CARRIER));

  test('of mat and pump are on the power board, and nothing of the probes is', () => {
    const nets = new Set(
      boardOf(layoutOf(POWER)).parts.flatMap(({ pads }) => pads.map(({ net }) => net)),
    );
    expect(nets.has('QUIET_GROUND')).toBe(false);
    for (const pin of ['Q1.S', 'Q2.S'] satisfies PinRef[])
      expect(netOf(CARRIER.circuit, pin)).toBeUndefined();
  });

  test('of the probes has an area of its own on the carrier, which no track of another use crosses', () => {
    for (const { left, top, right, bottom, nets } of carrier.layout.reserved) {
      const strays = carrier.tracks.filter(
        ({ net, from, to }) =>
          !nets.some((one) => one === net) &&
          [from, to].some(({ x, y }) => x > left && x < right && y > top && y < bottom),
      );
      expect(strays).toEqual([]);
      expect(nets).not.toContain('GROUND');
    }
  });
});
