/** How footprints are drawn: pads, holes, bodies. Millimetres, y downwards, about pad 1 or, with SMD packages, the middle. */
import type { Point } from '../draw/svg';
import type { Box, Footprint, Pad } from './footprint';

const p = (x: number, y: number): Point => ({ x, y });
const around = (box: Box, by: number): Box => ({
  left: box.left - by,
  top: box.top - by,
  right: box.right + by,
  bottom: box.bottom + by,
});

const hole = (
  number: string,
  x: number,
  y: number,
  size: number,
  drill: number,
  shape: Pad['shape'] = 'circle',
): Pad => ({
  number,
  x,
  y,
  width: size,
  height: size,
  shape,
  drill,
});

interface Axial {
  readonly pitch: number;
  readonly length: number;
  readonly thick: number;
  readonly pad: number;
  readonly drill: number;
}

/** A lying part with two leads. `bar`: a diode, whose cathode is pad 1. */
export function axial({ pitch, length, thick, pad, drill }: Axial, bar: boolean): Footprint {
  const left = (pitch - length) / 2;
  const body = { left, top: -thick / 2, right: left + length, bottom: thick / 2 };
  const reach = Math.max(thick / 2, pad / 2) + 0.25;
  const barX = left + Math.min(0.9, length / 4);
  return {
    pads: [
      hole('1', 0, 0, pad, drill, bar ? 'roundrect' : 'circle'),
      hole('2', pitch, 0, pad, drill),
    ],
    body,
    courtyard: { left: -pad / 2 - 0.25, top: -reach, right: pitch + pad / 2 + 0.25, bottom: reach },
    marks: bar
      ? [-0.12, 0, 0.12].map(
          (off) => [p(barX + off, body.top), p(barX + off, body.bottom)] as const,
        )
      : [],
    letters: [],
    label: p(pitch / 2 + (bar ? 0.5 : 0), 0),
  };
}

/** An upright can; pad 1 is the positive one. */
export function can(pitch: number, diameter: number, pad: number, drill: number): Footprint {
  const centre = p(pitch / 2, 0);
  const radius = diameter / 2;
  const body = {
    left: centre.x - radius,
    top: -radius,
    right: centre.x + radius,
    bottom: radius,
  };
  return {
    pads: [hole('1', 0, 0, pad, drill, 'roundrect'), hole('2', pitch, 0, pad, drill)],
    body,
    round: { centre, radius },
    courtyard: around(body, 0.25),
    marks: [],
    letters: [{ at: p(body.left - 0.4, -radius * 0.75), text: '+' }],
    label: p(centre.x, diameter > 8 ? -2.6 : radius + 1.1),
  };
}

export function disc(width: number, thick: number): Footprint {
  const body = {
    left: 2.5 - width / 2,
    top: -thick / 2,
    right: 2.5 + width / 2,
    bottom: thick / 2,
  };
  const reach = Math.max(thick / 2, 0.8) + 0.25;
  return {
    pads: [hole('1', 0, 0, 1.6, 0.8), hole('2', 5, 0, 1.6, 0.8)],
    body,
    courtyard: { left: -1.05, top: -reach, right: 6.05, bottom: reach },
    marks: [],
    letters: [],
    label: p(2.5, thick > 3 ? -1 : 0),
  };
}

export function so8(): Footprint {
  const pads = [1, 2, 3, 4, 5, 6, 7, 8].map((count): Pad => {
    const left = count <= 4;
    const row = left ? count - 1 : 8 - count;
    return {
      number: String(count),
      x: left ? -2.475 : 2.475,
      y: -1.905 + row * 1.27,
      width: 1.95,
      height: 0.6,
      shape: 'roundrect',
      drill: null,
    };
  });
  return {
    pads,
    body: { left: -1.25, top: -2.6, right: 1.25, bottom: 2.6 },
    courtyard: { left: -3.7, top: -2.7, right: 3.7, bottom: 2.7 },
    marks: [[p(-3.4, -2.45), p(-1.25, -2.45)]],
    letters: [{ at: p(-2.6, -3.2), text: '1' }],
    label: p(0, 0),
  };
}

export function to220(): Footprint {
  const body = { left: -2.46, top: -3.15, right: 7.54, bottom: 1.25 };
  const leg = (number: string, x: number, shape: Pad['shape']): Pad => ({
    number,
    x,
    y: 0,
    width: 1.905,
    height: 2,
    shape,
    drill: 1.1,
  });
  return {
    pads: [leg('1', 0, 'rect'), leg('2', 2.54, 'oval'), leg('3', 5.08, 'oval')],
    body,
    courtyard: around(body, 0.25),
    // The tab.
    marks: [[p(body.left, -1.88), p(body.right, -1.88)]],
    letters: ['G', 'D', 'S'].map((text, index) => ({ at: p(index * 2.54, 2.1), text })),
    label: p(2.54, -4.2),
  };
}

export function to92(): Footprint {
  return {
    pads: [
      hole('1', 0, 0, 1.5, 0.8, 'rect'),
      hole('2', 2.54, 0, 1.5, 0.8),
      hole('3', 5.08, 0, 1.5, 0.8),
    ],
    body: { left: 0.3, top: -2.4, right: 4.78, bottom: 1.6 },
    courtyard: { left: -1.01, top: -2.73, right: 6.09, bottom: 2.01 },
    // The flat side.
    marks: [[p(0.3, 1.85), p(4.78, 1.85)]],
    letters: ['E', 'B', 'C'].map((text, index) => ({ at: p(index * 2.54, 2.75), text })),
    label: p(2.54, -1.5),
  };
}

/** Pins in a row, downwards. */
export function header(count: number): Footprint {
  const body = { left: -1.27, top: -1.27, right: 1.27, bottom: (count - 1) * 2.54 + 1.27 };
  return {
    pads: Array.from({ length: count }, (_, index) =>
      hole(String(index + 1), 0, index * 2.54, 1.7, 1, index === 0 ? 'rect' : 'circle'),
    ),
    body,
    courtyard: around(body, 0.5),
    marks: [],
    letters: [],
    label: p(0, -2.3),
  };
}

/** Screw terminals, 5.08 mm; wires come in from below. */
export function terminals(count: number): Footprint {
  const body = { left: -2.54, top: -5.21, right: (count - 1) * 5.08 + 2.54, bottom: 4.6 };
  return {
    pads: Array.from({ length: count }, (_, index) =>
      hole(String(index + 1), index * 5.08, 0, 2.6, 1.3, index === 0 ? 'roundrect' : 'circle'),
    ),
    body,
    courtyard: around(body, 0.5),
    marks: [[p(body.left, 2.6), p(body.right, 2.6)]],
    letters: [],
    label: p(body.left - 1.6, 0),
  };
}

/** The usual 40-pin RP2040 board in sockets, its own socket for USB above pin 1. */
export function controllerBoard(): Footprint {
  const pads = Array.from({ length: 40 }, (_, index): Pad => {
    const left = index < 20;
    const row = left ? index : 39 - index;
    return hole(
      String(index + 1),
      left ? 0 : 17.78,
      row * 2.54,
      1.6,
      1,
      index === 0 ? 'roundrect' : 'circle',
    );
  });
  const body = { left: -1.61, top: -1.37, right: 19.39, bottom: 49.63 };
  return {
    pads,
    body,
    courtyard: around(body, 0.25),
    // The USB socket.
    marks: [
      [p(4.89, -1.37), p(4.89, 4.2)],
      [p(4.89, 4.2), p(12.89, 4.2)],
      [p(12.89, 4.2), p(12.89, -1.37)],
    ],
    letters: [
      { at: p(8.89, 2), text: 'USB' },
      { at: p(2.2, 0), text: '1' },
      { at: p(2.6, 48.26), text: '20' },
      { at: p(15.2, 0), text: '40' },
      { at: p(15.2, 48.26), text: '21' },
    ],
    label: p(8.89, 12),
  };
}

export function blade(): Footprint {
  const body = { left: -3.85, top: -2, right: 16.65, bottom: 4.5 };
  const rows = [0, 2.5];
  return {
    pads: [
      { number: '', x: 6.4, y: 1.25, width: 2.4, height: 2.4, shape: 'circle', drill: 2.4 },
      ...[0, 3.5].flatMap((x) => rows.map((y) => hole('1', x, y, 2.2, 1.4))),
      ...[9.3, 12.8].flatMap((x) => rows.map((y) => hole('2', x, y, 2.2, 1.4))),
    ],
    body,
    courtyard: around(body, 0.25),
    marks: [],
    letters: [],
    label: p(6.4, -0.8),
  };
}

export function resettable(): Footprint {
  const body = { left: -1.15, top: -0.9, right: 6.25, bottom: 2.1 };
  return {
    pads: [hole('1', 0, 0, 1.71, 0.71), hole('2', 5.1, 1.2, 1.71, 0.71)],
    body,
    courtyard: around(body, 0.25),
    marks: [],
    letters: [],
    label: p(2.55, 3.1),
  };
}

export function testLoop(): Footprint {
  const body = { left: -1.25, top: -1.25, right: 1.25, bottom: 1.25 };
  return {
    pads: [hole('1', 0, 0, 2, 1)],
    body,
    round: { centre: p(0, 0), radius: 1.3 },
    courtyard: around(body, 0.25),
    marks: [],
    letters: [],
    label: p(0, -2.1),
  };
}

export function mountingHole(): Footprint {
  const body = { left: -3.2, top: -3.2, right: 3.2, bottom: 3.2 };
  return {
    pads: [{ number: '', x: 0, y: 0, width: 3.2, height: 3.2, shape: 'circle', drill: 3.2 }],
    body,
    round: { centre: p(0, 0), radius: 3.2 },
    courtyard: around(body, 0.25),
    marks: [],
    letters: [],
    label: p(0, 0),
  };
}
