/** What becomes of an order from afar, in words. */
import { describe, expect, it } from 'vitest';
import { obey } from '../../cli/keep/open/obey';
import { LinkError } from '../../cli/link/client';

const ORDER = { kind: 'mark', mark: 'emerged' } as const;
const failing = (error: Error) => ({ act: () => Promise.reject(error) });

describe('an order that cannot be carried out', () => {
  it('is told with what the tray said', async () => {
    const silent = failing(new LinkError('absent', 'Pepper is not heard yet.'));
    expect(await obey(silent, ORDER)).toBe('Not done: mark emerged. Pepper is not heard yet.');
  });

  it('by a mistake of the program ends no keeper', async () => {
    expect(await obey(failing(new TypeError('x is undefined')), ORDER)).toBe(
      'Not done: mark emerged. Something went wrong inside the program (x is undefined).',
    );
  });
});
