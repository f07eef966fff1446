/** Marks: those that cannot be taken back ask first, and what each tells. */
import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { main } from '../../cli/main';
import type { Profile } from '../../shared/profile/profile';
import { Grower, TEST_PROFILE } from '../simulation/grower';
import { unwrapped } from './program';
import { runIn, worldAt } from './worlds';

const [HOLD, FEED] = TEST_PROFILE.stages;
if (HOLD === undefined || FEED === undefined) throw new Error('the test profile has changed');

/** Emergence, vents, feed until the transplant, blocks. */
const PROFILE: Profile = {
  ...TEST_PROFILE,
  stages: [
    HOLD,
    { ...HOLD, name: 'airing', end: { afterS: 86_400, mark: 'vented' } },
    {
      ...FEED,
      name: 'harden',
      opening: { byS: 86_400, stopShare: 0.02 },
      end: { afterS: 0, mark: 'transplanted' },
    },
    { ...HOLD, name: 'settle', end: { afterS: 3 * 86_400, mark: null } },
    { ...FEED, name: 'blocks', opening: { byS: 0, stopShare: 0.02 } },
  ],
};

function sown(): Grower {
  const grower = new Grower();
  grower.commission(PROFILE);
  return grower;
}

async function mark(grower: Grower, ...words: string[]) {
  const { code, stdout, stderr } = await runIn(worldAt(grower, {}), ['mark', ...words]);
  return { code, said: unwrapped(stdout + stderr) };
}

const standing = (grower: Grower) => {
  const { stage, water } = grower.status();
  return { stage: stage?.name, capacityKnown: water.capacityG !== null };
};

/** The same by a person at a terminal, who types `answer`. */
async function markAndAnswer(grower: Grower, answer: string, ...words: string[]) {
  const stdin = Object.assign(new PassThrough(), { isTTY: true });
  let asked = '';
  const world = worldAt(grower, { stdin });
  const stderr = {
    isTTY: true,
    write(text: string) {
      asked += text;
      if (text.includes('[y/n]')) stdin.write(`${answer}\n`);
    },
  };
  const code = await main(['mark', ...words], { ...world, stderr });
  return { code, said: unwrapped(asked) };
}

describe('transplanted', () => {
  it('tells no weight while the tray stands beside its scale, where plants are moved', async () => {
    const grower = sown();
    grower.bench.hand.takeTray();
    grower.bench.run(60_000);
    const { said } = await mark(grower, 'transplanted', '--yes');
    expect(said).toContain('Marked transplanted.');
    expect(said).toContain(
      'When the blocks are soaked and stand drained on the scale, mark soaked.',
    );
    expect(said).not.toContain('those that stay');
    const marked = grower
      .journal()
      .find((entry) => entry.kind === 'mark' && entry.mark === 'transplanted');
    expect(marked).toMatchObject({ trayG: Number.NaN });
  });

  it('asks at the end of its own stage too: it forgets what the tray weighs', async () => {
    const grower = sown();
    await mark(grower, 'emerged');
    await mark(grower, 'vented');
    const before = standing(grower);
    expect(before).toEqual({ stage: 'harden', capacityKnown: true });
    const unasked = await mark(grower, 'transplanted');
    expect(unasked.code).toBe(2);
    expect(unasked.said).toContain(
      'Marking transplanted forgets the weights of this tray and gives no water for some days',
    );
    expect(unasked.said).toContain('--yes');
    expect(standing(grower)).toEqual(before);

    const no = await markAndAnswer(grower, 'n', 'transplanted');
    expect(no.code).toBe(1);
    expect(no.said).toContain('The stage was left as it is.');
    expect(standing(grower)).toEqual(before);

    expect((await markAndAnswer(grower, 'y', 'transplanted')).code).toBe(0);
    expect(standing(grower)).toEqual({ stage: 'settle', capacityKnown: false });
  });

  it('is taken without a question with --yes', async () => {
    const grower = sown();
    expect((await mark(grower, 'transplanted', '--yes')).code).toBe(0);
    expect(standing(grower)).toEqual({ stage: 'settle', capacityKnown: false });
  });

  it('names the stages that it would skip besides', async () => {
    const { said } = await mark(sown(), 'transplanted');
    expect(said).toContain('"airing", "harden" would be skipped. Marking transplanted forgets');
  });
});

describe('a mark that would jump a stage', () => {
  it('asks, and names it; one that ends the running stage does not', async () => {
    const grower = sown();
    const early = await mark(grower, 'vented');
    expect(early.code).toBe(2);
    expect(early.said).toContain(
      'Stage "germinate" does not end by vented: "airing" would be skipped. Go on?',
    );
    expect(standing(grower).stage).toBe('germinate');
    expect((await mark(grower, 'emerged')).code).toBe(0);
    expect((await mark(grower, 'vented')).code).toBe(0);
    expect(standing(grower)).toEqual({ stage: 'harden', capacityKnown: true });
  });
});

describe('moved', () => {
  it('asks how many pieces stay, and no other mark takes the number', async () => {
    const grower = sown();
    expect((await mark(grower, 'moved')).said).toContain('How many stay?');
    expect((await mark(grower, 'vented', '--pieces', '9')).code).toBe(2);
    const { code, said } = await mark(grower, 'moved', '--pieces', '49');
    expect(said).toContain('When those that stay are soaked');
    expect(code).toBe(0);
  });
});

describe('any mark', () => {
  it('tells no weight while the tray still swings from the hand', async () => {
    const grower = sown();
    grower.bench.run(600_000);
    expect((await mark(grower, 'refilled')).said).toMatch(/^Marked refilled at \d+ g/);
    grower.bench.hand.putWeight(500);
    grower.bench.run(7_000);
    expect((await mark(grower, 'refilled')).said).toMatch(/^Marked refilled\./);
  });

  it('says back what the reservoir holds now', async () => {
    const told = await mark(sown(), 'refilled', '--volume', '3l', '--ec', '0.9mS/cm');
    expect(told.said).toContain('The reservoir holds 3.00 l of 0.90 mS/cm');
  });
});
