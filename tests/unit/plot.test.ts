/** A curve as text. */
import { describe, expect, it } from 'vitest';
import { plot } from '../../cli/terminal/plot';

describe('a curve', () => {
  it('rises from nothing to where the counts stand', () => {
    const points = [
      { x: 4, share: 0 },
      { x: 8, share: 0.5 },
      { x: 10, share: 1 },
    ];
    expect(plot(points, { width: 28, height: 5, xTitle: 'days' })).toBe(
      [
        '100 % |                    o',
        ' 75 % |                  ..',
        ' 50 % |               .o.',
        ' 25 % |           ....',
        '  0 % |........o..',
        '      +---------------------',
        '       0                  10',
        '                        days',
      ].join('\n'),
    );
  });

  it('is drawn where there is one point, or one beyond the top', () => {
    const text = plot([{ x: 0.5, share: 2 }], { width: 40, height: 5, xTitle: 'days' });
    expect(text).toMatch(/^100 % \|.*o/);
    for (const line of text.split('\n')) expect(line.length).toBeLessThanOrEqual(40);
  });
});
