/** Figures of `tray model` held against bench trays whose truth is known: a few of those of `npm run bench -- model`. */
import { beforeAll, describe, expect, it } from 'vitest';
import {
  JUDGED,
  type Judgement,
  judgeGrowing,
  judgeWarm,
  judgeWatered,
} from '../../cli/model/coverage';
import { runGrowingTray } from '../../firmware/bench/season/growing-trays';
import { runWarmTray } from '../../firmware/bench/season/warm-trays';
import { runWateredTray } from '../../firmware/bench/season/watered-trays';

/** Nine of ten are in the interval itself; none of a sound figure lies so many times its half off. */
const FAR_TIMES = 3;

const isFar = ({ told, truth }: Judgement): boolean =>
  told !== null &&
  !(
    truth > told.value - FAR_TIMES * (told.value - told.low) &&
    truth < told.value + FAR_TIMES * (told.high - told.value)
  );

describe('figures of bench trays', () => {
  let judged: readonly Judgement[] = [];
  beforeAll(() => {
    judged = [
      ...judgeWarm(runWarmTray(12, 1.5)),
      ...judgeWatered(runWateredTray(6)),
      ...judgeGrowing(runGrowingTray(8)),
    ];
  });

  it('are each told of some tray, and near the truth', () => {
    const told = judged.filter((one) => one.told !== null).map(({ what }) => what);
    expect(new Set(told)).toEqual(new Set(Object.keys(JUDGED)));
    expect(judged.filter(isFar)).toEqual([]);
  });

  it('have the truth in their intervals most of the time', () => {
    const inside = judged.filter(
      ({ told, truth }) => told !== null && truth >= told.low && truth <= told.high,
    );
    expect(inside.length).toBeGreaterThanOrEqual(0.75 * judged.length);
  });
});
