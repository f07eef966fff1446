/**
 * Statements of the Sparkplug 3.0.0 specification about what an edge node sends: held against one life of it at Debian's
 * mosquitto.
 */
import { afterAll, beforeAll, describe } from 'vitest';
import { LifeAtBroker } from './life-at-broker';
import { noBroker } from './mosquitto';
import { birthStatements } from './wire-births';
import { dataStatements } from './wire-data';
import { messageStatements } from './wire-messages';
import { sessionStatements } from './wire-session';

describe.skipIf(noBroker)('an edge node at a broker', () => {
  const life = new LifeAtBroker();
  beforeAll(() => life.live());
  afterAll(() => life.end());

  sessionStatements(life);
  messageStatements(life);
  birthStatements(life);
  dataStatements(life);
});
