/** The longest replies there are, one behind the other on the slowest door: none is lost on its way. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { Chip } from '../../firmware/bench/chip/chip';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { replyRoomBytes } from '../../firmware/image/header';
import { ALARM_NAMES, ALARMS } from '../../shared/alarms/catalogue';
import { DOOR } from '../../shared/board/map';
import { crc32 } from '../../shared/bytes';
import { decodeProfile, encodeProfile } from '../../shared/profile/image';
import { TEST_PROFILE } from '../simulation/grower';
import { BUILD_LIMIT_MS, cannotBuild, controlledBy, powered } from './images';
import { sendChunks, Talk } from './talk';

/**
 * The real controller, but every alarm stands whatever the guard says, and is told with as many letters
 * as it can be: gone but latched where it latches, ten years ago, shelved for as long as it may be, a long value and limit.
 */
const IMPORTS = `
import { Alarm } from '../../../firmware/guard/alarm';
import { AlarmBank } from '../../../firmware/guard/alarm-bank';
import { createController as firmware } from '../../../firmware/main';
const { set } = AlarmBank.prototype;
AlarmBank.prototype.set = function (name, present, uptimeMs) {
  set.call(this, name, true, uptimeMs, -1234567.89, -1234567.89);
};
AlarmBank.prototype.expireShelving = function (uptimeMs) {
  this.now = uptimeMs;
  for (const { name } of this.records) this.set(name, true, uptimeMs, 0, 0);
};
const { get } = Object.getOwnPropertyDescriptor(AlarmBank.prototype, 'records');
Object.defineProperty(AlarmBank.prototype, 'records', {
  get() {
    const now = this.now ?? 0;
    return get.call(this).map((record) => {
      const longAgoMs = now - 315_360_000_000;
      const state = record.spec.latched ? 'latched-unaccepted' : 'returned';
      const phase = { state, endedMs: longAgoMs };
      const last = { ...record.last, raisedMs: longAgoMs };
      return new Alarm(record.name, { phase, last, shelvedUntilMs: now + ${GUARD_LIMITS.shelveMaxS} * 1000 });
    });
  },
});`;
const ASKED_AT_ONCE = 8;

/** A profile, so that there is a stage to tell of as well. */
function load(talk: Talk): void {
  const image = encodeProfile(TEST_PROFILE);
  const decoded = decodeProfile(image);
  talk.call('profile.begin', { token: 1, bytes: image.length, crc: crc32(image) });
  sendChunks(talk, image);
  const id = decoded.ok ? decoded.id : 0;
  talk.call('profile.commit', { token: 2, id, stage: 0 });
  talk.call('mark.set', { token: 3, mark: 'sown' });
}

describe.skipIf(cannotBuild)('with every alarm standing', { timeout: BUILD_LIMIT_MS }, () => {
  let chip: Chip;
  beforeAll(async () => {
    const controller = {
      start: 'const controller = firmware(board);',
      tick: 'controller.tick();',
      receive: 'controller.receive(door, bytes);',
    };
    const image = await controlledBy('all-alarms', controller, IMPORTS);
    chip = powered(image);
    chip.run(5000);
    load(new Talk(chip, DOOR.uart));
    // The mark explains a probe that jumped, until the next tick.
    chip.run(2000);
  }, BUILD_LIMIT_MS);

  it.each(['alarm.list', 'status.read'])('%s is answered as often as it is asked for', (method) => {
    const talk = new Talk(chip, DOOR.uart);
    const ids = Array.from({ length: ASKED_AT_ONCE }, () => talk.ask(method));
    chip.run(10_000);
    expect(talk.replies.map(({ id }) => id)).toEqual(ids);
    const alarms = talk.replies.map(({ result }) => result?.alarms);
    for (const told of alarms) expect(told).toHaveLength(ALARM_NAMES.length);
    expect(talk.damaged).toEqual([]);
    expect(talk.heard / ASKED_AT_ONCE).toBeLessThanOrEqual(replyRoomBytes(ALARMS));
  });
});
