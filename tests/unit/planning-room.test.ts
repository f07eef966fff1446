/** Batches that share a room: which are at once, and what they cannot share. */
import { describe, expect, it } from 'vitest';
import type { PlanRequest } from '../../shared/planning/request';
import { checkRoom } from '../../shared/planning/room-check';
import { planOf, requestFor } from './plans';

describe('several batches in one room', () => {
  const named = (name: string, changes: Partial<PlanRequest>) => {
    const [, request] = requestFor(changes);
    return { name, request, plan: planOf(changes) };
  };
  const ONE = { matTrays: 1, lightTrays: 1 };

  it('on mats and lights of their own do not meet', () => {
    const a = named('a', { crop: 'pepper', mat: 'north', light: 'left' });
    const b = named('b', { crop: 'pepper', mat: 'south', light: 'right' });
    const { overlaps, clashes } = checkRoom([a, b], ONE);
    expect(overlaps).toHaveLength(1);
    expect(clashes).toEqual([]);
  });

  it('on one mat are double-booked for the days both need it, and no longer where it takes two trays', () => {
    const a = named('a', { crop: 'pepper', light: 'left' });
    const b = named('b', {
      crop: 'pepper',
      light: 'right',
      aim: { by: 'sow', day: a.plan.dates.sow.planned + 5 },
    });
    const [clash] = checkRoom([a, b], ONE).clashes;
    expect(clash).toMatchObject({
      kind: 'mat',
      batches: ['a', 'b'],
      trays: 2,
      from: b.plan.dates.sow.planned,
    });
    expect(
      checkRoom([a, b], { ...ONE, matTrays: 2 }).clashes.map(({ kind }) => kind),
    ).not.toContain('mat');
  });

  it('contradict each other where no root zone suits both', () => {
    const room = { nightC: 14.6, dayC: 18 };
    const pepper = named('pepper', { crop: 'pepper', room });
    const lettuce = named('lettuce', {
      crop: 'lettuce',
      room,
      aim: { by: 'sow', day: pepper.plan.dates.sow.planned },
    });
    const bands = checkRoom([pepper, lettuce], { matTrays: 9, lightTrays: 9 }).clashes.filter(
      ({ kind }) => kind === 'band',
    );
    expect(bands[0]).toMatchObject({ place: 'the mat', from: pepper.plan.dates.sow.planned });
  });

  it('of which one leaves before the other comes share everything', () => {
    const a = named('a', { crop: 'lettuce' });
    const b = named('b', { crop: 'pepper', aim: { by: 'sow', day: a.plan.dates.ready.planned } });
    expect(checkRoom([a, b], ONE)).toEqual({ overlaps: [], clashes: [] });
  });

  it('cannot be in rooms of different warmth', () => {
    const a = named('a', {
      crop: 'pepper',
      mat: 'north',
      light: 'l',
      room: { nightC: 18, dayC: 18 },
    });
    const b = named('b', {
      crop: 'pepper',
      mat: 'south',
      light: 'r',
      room: { nightC: 22, dayC: 22 },
    });
    expect(checkRoom([a, b], ONE).clashes).toMatchObject([{ kind: 'room', batches: ['a', 'b'] }]);
  });
});
