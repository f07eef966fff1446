/** The air of a room as growers write it: one temperature or two, in either unit. */
import { describe, expect, it } from 'vitest';
import { roomAir } from '../../cli/arguments/room';

const read = (typed: string) => roomAir(typed, '--room', 'metric');

describe('the air of a room', () => {
  it.each([
    ['18C', 18, 18],
    ['18 °C', 18, 18],
    ['64F', 17.8, 17.8],
    ['16..22 C', 16, 22],
    ['16C..22C', 16, 22],
    ['16 to 22 C', 16, 22],
    ['16 TO 22 C', 16, 22],
    ['16-22 C', 16, 22],
    ['16 C – 22 C', 16, 22],
    ['16…22C', 16, 22],
    ['16...22C', 16, 22],
    ['61..72 °F', 16.1, 22.2],
    ['16.5..21.5 C', 16.5, 21.5],
    ['61F..22C', 16.1, 22],
  ])('%s is %d C by night and %d C by day', (typed, nightC, dayC) => {
    expect(read(typed)?.nightC).toBeCloseTo(nightC, 1);
    expect(read(typed)?.dayC).toBeCloseTo(dayC, 1);
  });

  it.each([
    ['18', 'has no unit'],
    ['16..22', 'has no unit'],
    ['22..16 C', 'goes from warm to cold'],
    ['-5C', 'is out of range'],
    ['16..22 K', 'temperature difference'],
    ['warm', 'does not begin with a number'],
    ['16..C', 'does not begin with a number'],
  ])('%s is refused, with both units and both ways to write it', (typed, why) => {
    const refusal = (() => {
      try {
        return read(typed);
      } catch (error) {
        return error;
      }
    })();
    expect(refusal).toMatchObject({
      message: expect.stringContaining(why),
      next: expect.stringMatching(/18C or 64F.*"16\.\.22 C" or "61\.\.72 F"/),
    });
  });
});
