/** What a login of the fleet's database can make of the rights that it has. */
import { describe, expect, it } from 'vitest';
import { FUNCTIONS } from '../../cli/fleet/database/functions';

const headers = FUNCTIONS.match(/CREATE FUNCTION[\s\S]*? AS \$\$/g) ?? [];

describe('a function that runs as the owner', () => {
  const asOwner = headers.filter((header) => header.includes('SECURITY DEFINER'));

  it('looks for names in the temporary schema of its caller last, where nothing of the server can be replaced', () => {
    expect(asOwner.length).toBeGreaterThan(0);
    for (const header of asOwner)
      expect(header).toMatch(/SET search_path = pg_catalog, pg_temp AS/);
  });
});
