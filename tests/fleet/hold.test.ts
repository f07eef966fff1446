/** While nothing can be sent to a fleet: when it is tried again, and what is said of it. */
import { describe, expect, it } from 'vitest';
import { BrokerError } from '../../cli/fleet/broker/refusal';
import { SEND_LIMITS } from '../../cli/fleet/limits';
import { Hold, NobodyThere } from '../../cli/fleet/sending/hold';

const URL = 'mqtt://127.0.0.1:1883';
const cut = new BrokerError(URL, 'The line was cut.');

function held() {
  const said: string[] = [];
  const clock = { ms: 0 };
  const hold = new Hold(
    () => clock.ms,
    (text) => said.push(text),
  );
  /** How long it waits from now, ms. */
  const waits = (): number => {
    const fromMs = clock.ms;
    while (hold.isOn) clock.ms += 500;
    return clock.ms - fromMs;
  };
  return { hold, said, waits };
}

describe('a keeper whose broker is away', () => {
  it('leaves it alone for longer each time, and says why once', () => {
    const { hold, said, waits } = held();
    expect(hold.isOn).toBe(false);
    const [first, second, third, last] = SEND_LIMITS.retryMs;
    const waited = Array.from({ length: 5 }, () => {
      hold.failed(cut);
      return waits();
    });
    expect(waited).toEqual([first, second, third, last, last]);
    expect(said).toEqual([
      'journals: The broker mqtt://127.0.0.1:1883 cannot be used. The line was cut. They wait in the store, and go out when it is well again.',
    ]);
  });

  it('says when they go out again, and is as quick as at first the next time', () => {
    const { hold, said, waits } = held();
    for (let i = 0; i < 4; i++) hold.failed(cut);
    hold.over();
    hold.over();
    expect(hold.isOn).toBe(false);
    expect(said.slice(1)).toEqual(['journals: go out again.']);
    hold.failed(cut);
    expect([waits(), said.length]).toEqual([SEND_LIMITS.retryMs[0], 3]);
  });

  it('looks for a collector in the same short time, however long nobody collects', () => {
    const { hold, waits } = held();
    for (let i = 0; i < 5; i++) {
      hold.failed(new NobodyThere(URL, 'Nobody collects.'));
      expect(waits()).toBe(SEND_LIMITS.nobodyMs);
    }
  });
});
