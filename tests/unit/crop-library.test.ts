/** The crop library: what is in it, how it is asked, and how a file gets in. */
import { describe, expect, it } from 'vitest';
import type { Crop } from '../../shared/crops/library/crop';
import { emergence } from '../../shared/crops/library/emergence';
import { cropNamed, cropOrNull, crops, sourceNamed } from '../../shared/crops/library/library';

function crop(name: string): Crop {
  const found = cropNamed(name);
  if (!found.ok) throw new Error(found.why);
  return found.value;
}

describe('a crop', () => {
  it('is found by its name in any case, and by its other names', () => {
    expect(crop(' Tomato ').latin).toBe('Solanum lycopersicum');
    expect(crop('capsicum').name).toBe('pepper');
  });

  it('that is not there is refused with the one that was probably meant', () => {
    const found = cropNamed('lettice');
    expect(found.ok ? '' : found.why).toContain('Did you mean "lettuce"?');
    for (const name of ['', 'constructor', '__proto__']) expect(cropOrNull(name)).toBeNull();
  });

  it('has numbers whose sources are all known', () => {
    for (const { daysToTransplant } of crops()) {
      for (const { source } of daysToTransplant) expect(sourceNamed(source).citation).not.toBe('');
    }
  });
});

describe('emergence', () => {
  const forecast = (name: string, atC: number) => {
    const found = emergence(crop(name), atC);
    if (!found.ok) throw new Error(found.why);
    return found.value;
  };

  it('gives each source beside the other, and the days over all of them', () => {
    const { days, estimates } = forecast('tomato', 29.4);
    expect(estimates.map(({ source }) => source)).toEqual([
      'Harrington and Minges 1954',
      'Utah State Univ.',
    ]);
    expect(days.low).toBeCloseTo(5, 1);
    expect(days.high).toBeCloseTo(6.5, 1);
  });

  it('tells the thermal time beside the table where its line is straight', () => {
    expect(forecast('pepper', 22).estimates.map(({ by }) => by)).toEqual([
      'trials',
      'thermal-time',
    ]);
  });

  it('is refused with the source where nothing came up, and beyond', () => {
    for (const atC of [-5, 5, 40, 45]) {
      const found = emergence(crop('tomato'), atC);
      expect(found.ok ? '' : found.why).toMatch(/no tomato seed.*Harrington and Minges 1954/);
    }
  });

  it('is not made up between a temperature that brings seed up and one that does not', () => {
    const found = emergence(crop('pepper'), 12);
    expect(found.ok ? '' : found.why).toContain('not in the trials');
  });
});
