/** The sign of life that a watcher expects: its absence tells of the keeper's own end. */
import { afterEach, describe, expect, it } from 'vitest';
import { Secret } from '../../cli/keep/config/secret';
import { Heartbeat } from '../../cli/keep/heartbeat';
import { MINUTE_MS } from '../../shared/units/time';
import { Receiver } from './servers';

const ends: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0)) await end();
});

describe('a heartbeat', () => {
  it('is sent as often as the file says; that a watcher refuses it is said once, without its address', async () => {
    const watcher = await Receiver.start();
    ends.push(() => watcher.stop());
    const said: string[] = [];
    const url = new Secret(`${watcher.url}/tell-nobody-7`);
    const heartbeat = new Heartbeat({ url, everyMs: 5 * MINUTE_MS }, (text) => said.push(text));
    for (let minute = 0; minute <= 10; minute++) await heartbeat.round(minute * MINUTE_MS);
    expect(watcher.posts).toHaveLength(3);
    watcher.answer = { status: 410 };
    for (let minute = 15; minute <= 25; minute += 5) await heartbeat.round(minute * MINUTE_MS);
    expect(said).toEqual(['heartbeat: The watcher answers 410.']);
    await watcher.stop();
    ends.splice(0);
    await heartbeat.round(60 * MINUTE_MS);
    watcher.answer = { status: 204 };
    expect(said.join()).not.toContain('nobody');
  });
});
