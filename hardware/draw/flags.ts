/** Flags of a sheet: where a net leaves it, and what it is called there. */
import { type Point, polygon, text } from './svg';

/** A flag: the net goes on elsewhere. Points away from the wire. */
export interface Flag {
  readonly net: string;
  readonly at: Point;
  readonly way: 'left' | 'right' | 'up' | 'down';
  readonly words: string;
}

export function flagSvg({ at, way, words }: Flag): string {
  const width = words.length * 1.72 + 5.5;
  const shape = {
    right: { dx: 1, x: at.x + 3.5, anchor: 'start' as const },
    left: { dx: -1, x: at.x - 3.5, anchor: 'end' as const },
  };
  if (way === 'up' || way === 'down') {
    const dy = way === 'up' ? -1 : 1;
    return (
      polygon([at, { x: at.x - 2, y: at.y + dy * 2.5 }, { x: at.x + 2, y: at.y + dy * 2.5 }], {
        fill: 'black',
        width: 0.1,
      }) +
      text({ x: at.x, y: at.y + (way === 'up' ? -3.6 : 5.8) }, words, {
        size: 2.5,
        bold: true,
        anchor: 'middle',
        halo: true,
      })
    );
  }
  const { dx, x, anchor } = shape[way];
  return (
    polygon(
      [
        at,
        { x: at.x + dx * 2.5, y: at.y - 2.3 },
        { x: at.x + dx * width, y: at.y - 2.3 },
        { x: at.x + dx * width, y: at.y + 2.3 },
        { x: at.x + dx * 2.5, y: at.y + 2.3 },
      ],
      { fill: 'white', width: 0.3 },
    ) + text({ x, y: at.y + 0.95 }, words, { size: 2.5, bold: true, anchor })
  );
}
