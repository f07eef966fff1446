/**
 * The judge of plans on the image, shown images that deserve it: each promise that is the image's own is broken by one,
 * and none by the growers' program.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import type { BuiltImage } from '../../firmware/image/build';
import { addressOf } from '../../firmware/image/symbols';
import { DOOR, FLASH_START } from '../../shared/board/map';
import { MINUTE_S } from '../../shared/units/time';
import { drawImagePlan, type ImageEvent, type ImagePlan } from '../swarm/image-plan';
import { runOnImage } from '../swarm/on-image';
import { BUILD_LIMIT_MS, cannotBuild, otherwise, trayward } from './images';

const SECOND_MIN = 1 / MINUTE_S;

/** A tray in service for ten minutes, to which only these things happen, in seconds. */
const planWith = (...events: readonly ImageEvent[]): ImagePlan => ({
  ...drawImagePlan(1),
  ...{ events, skipStages: 0, agedMin: 10 },
  ...{ putRightMin: 12 * SECOND_MIN, recoverMin: 2 * SECOND_MIN },
});

const NEXT_STAGE: ImageEvent = { atMin: SECOND_MIN, kind: 'next-stage', door: DOOR.usb };
const READ: ImageEvent = { atMin: SECOND_MIN, kind: 'read-journal', door: DOOR.usb };

/** UDF, which no processor executes (ARMv6-M manual A6.7.72), little-endian. */
const UNDEFINED = [0x00, 0xde] as const;

/** The image with that as the first instruction of these functions of its runtime. */
function faulty({ bytes, ...image }: BuiltImage, ...functions: readonly string[]): BuiltImage {
  const patched = bytes.slice();
  for (const name of functions)
    patched.set(UNDEFINED, addressOf(image.symbols, name) - FLASH_START);
  return { ...image, bytes: patched };
}

describe.skipIf(cannotBuild)('the judge of plans on the image', () => {
  const image = otherwise('judged', {
    sound: 'return createController(board);',
    pumpsFirst: 'board.leasePump(500); return createController(board);',
    throws: `const controller = createController(board);
      let ticks = 0;
      return { ...controller, tick() { controller.tick(); ticks += 1; if (ticks === 9) throw new Error(); } };`,
    isTwo: `const [one, other] = [createController(board), createController(board)];
      return { ...one, receive: (door, bytes) => (door === ${DOOR.usb} ? one : other).receive(door, bytes) };`,
  });
  let growers: BuiltImage;
  beforeAll(async () => {
    growers = await trayward();
    await image('sound');
  }, BUILD_LIMIT_MS);

  const broken = (plan: ImagePlan, shown: BuiltImage): string[] =>
    runOnImage(plan, shown).breaches.map(({ promise, says }) => `${promise}: ${says}`);

  it('has nothing to say of the program as it is', async () => {
    expect(broken(planWith(NEXT_STAGE, READ), await image('sound'))).toEqual([]);
  });

  it('sees a pump that runs before the program is ready', async () => {
    expect(broken(planWith(), await image('pumpsFirst'))).toContainEqual(
      expect.stringMatching(/^on-before-ready: on \d+ ms after the start$/),
    );
  });

  it('sees a start that nobody asked for', async () => {
    expect(broken(planWith(), await image('throws'))).toContainEqual(
      expect.stringMatching(/^unasked-start: exception/),
    );
  });

  it('sees doors that tell of two trays', async () => {
    expect(broken(planWith(NEXT_STAGE), await image('isTwo'))).toContainEqual(
      expect.stringMatching(/^doors-differ: /),
    );
  });

  it('sees a fault of the processor, and the start by the watchdog that comes of it', () => {
    // One in the handler of faults stops the processor for good.
    const stopped = broken(planWith(READ), faulty(growers, 'native_toBase64', 'hard_fault'));
    expect(stopped).toContainEqual(expect.stringMatching(/^ill-made-image: \w/));
    expect(stopped).toContainEqual(expect.stringMatching(/^unasked-start: \d by the watchdog$/));
    expect(stopped).toContainEqual(expect.stringMatching(/^board-silent: /));
  });
});
