/** The fleet's file as its owner writes it: broker, database, logins. One zod schema. */
import * as z from 'zod';
import { secret, topic } from '../../keep/config/schema';

/** Raised when a key changes its meaning. */
export const FLEET_VERSION = 1;

const POSTGRES_PORT = 5432;

const login = z.strictObject({ user: z.string().min(1).max(63), password: secret.optional() });

const broker = z.strictObject({
  url: z
    .string()
    .regex(/^mqtts?:\/\/[^\s/@]+(:\d+)?\/?$/, 'Write mqtts://HOST:PORT, without a password in it.'),
  user: z.string().optional(),
  password: secret.optional(),
  topic,
  group: z
    .string()
    .regex(
      /^[a-z0-9-]{1,40}$/,
      'Small letters, digits and hyphens, 40 at most, such as collectors.',
    )
    .default('collectors'),
  ca: z.string().optional(),
});

const database = z.strictObject({
  host: z
    .string()
    .regex(/^(\/\S+|[A-Za-z0-9._:-]+)$/, 'The name of a server, or the folder of its socket.'),
  port: z.int().min(1).max(65_535).default(POSTGRES_PORT),
  name: z
    .string()
    .regex(/^[a-z_][a-z0-9_]{0,62}$/, 'Small letters, digits and _, such as trayward.'),
  ca: z.string().optional(),
  logins: z.strictObject({
    owner: login.optional(),
    collector: login.optional(),
    reader: login.optional(),
  }),
});

export const fleetFile = z.strictObject({
  'trayward-fleet': z.literal(FLEET_VERSION),
  broker,
  database,
});

export type FleetFile = z.output<typeof fleetFile>;

/** Every key of the file, wherever it stands: for the nearest right one. */
export const KEYS: readonly string[] = [
  ...[fleetFile, broker, database, login, database.shape.logins].flatMap((one) =>
    Object.keys(one.shape),
  ),
  ...['file', 'env'],
];
