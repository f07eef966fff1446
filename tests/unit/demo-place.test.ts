/** The demo finds its clone from wherever it is started, and says in a sentence where it cannot. */
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { benchIn, cloneAbove, PROFILE } from '../../cli/demo/place';

describe('the demo', () => {
  it('goes by the place of its own program, not by the folder that it is started in', () => {
    const isThere = (file: string): boolean => file === join('/srv/clone', PROFILE);
    expect(cloneAbove('/srv/clone/dist', isThere)).toBe('/srv/clone');
    expect(cloneAbove('/srv/clone/dist/trial', isThere)).toBe('/srv/clone');
  });

  it('says where it runs when its program was taken out of the clone', () => {
    expect(() => cloneAbove('/somewhere/alone', () => false)).toThrow(
      `${PROFILE} lies in no folder above /somewhere/alone: the demo runs in the clone`,
    );
  });

  it('says what a bench says that does not start', () => {
    const said = { ok: false, error: { message: 'That port is in use.' } };
    expect(() => benchIn(JSON.stringify(said))).toThrow('did not start: That port is in use.');
    const result = { link: 'tcp://127.0.0.1:1', door: 'tcp://127.0.0.1:2', pty: null };
    expect(benchIn(JSON.stringify({ ok: true, result }))).toEqual({
      link: result.link,
      door: result.door,
    });
  });
});
