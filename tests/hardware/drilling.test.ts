/** The drilling sheets: a builder trusts their scale and their figures. */
import { describe, expect, test } from 'vitest';
import { BUILDS } from '../../hardware/enclosure/builds';
import { drawDrilling } from '../../hardware/enclosure/drilling';
import { drawDrillingBack } from '../../hardware/enclosure/drilling-back';
import { drawDrillingBottom } from '../../hardware/enclosure/drilling-bottom';
import { fitOf } from '../../hardware/enclosure/fits';
import { ENCLOSURE, standoffsOf } from '../../hardware/enclosure/plan';

describe('the drilling sheets are true to scale', () => {
  const circleAt = (x: number, y: number, radius: number): string =>
    `<circle cx="${x}" cy="${y}" r="${radius}"`;

  test('the template of the bottom has every hole in its true size and place', () => {
    const svg = drawDrillingBottom();
    const holes = ENCLOSURE.openings.filter(({ face }) => face === 'bottom');
    const [first] = holes;
    const corner = /<circle cx="([\d.]+)" cy="([\d.]+)"/.exec(svg);
    const left = Number(corner?.[1]) - (first?.across ?? 0);
    const foot = Number(corner?.[2]) + (first?.up ?? 0);
    for (const { across, up, fit } of holes) {
      expect(svg).toContain(circleAt(left + across, foot - up, fitOf(fit).holeMm / 2));
    }
    expect(svg).toContain(`<line x1="${left}" y1="${foot}" x2="${left}" y2="${foot - 120}"`);
  });

  test.each([
    ['drilling', drawDrilling()],
    ['drilling-bottom', drawDrillingBottom()],
    ['drilling-back', drawDrillingBack()],
  ])('%s has a line of 100 mm to prove the print by, and says its scale', (_, svg) => {
    expect(svg).toContain('<line x1="184" y1="12.5" x2="284" y2="12.5"');
    expect(svg).toMatch(/width="297mm" height="210mm" viewBox="0 0 297 210"/);
    expect(svg).toMatch(/Scale 1 : (1|2|2\.5)[,.]/);
  });

  test('every hole is on its sheet by letter, and every standoff by its figures', () => {
    const faces = drawDrilling();
    for (const { mark, words } of ENCLOSURE.openings) {
      expect(faces).toContain(`>${mark}</text>`);
      expect(faces).toContain(words);
    }
    const back = drawDrillingBack();
    for (const { across, up } of BUILDS.flatMap(standoffsOf)) {
      for (const value of [across, up])
        expect(back).toContain(`>${Math.round(value * 10) / 10}</text>`);
    }
  });
});
