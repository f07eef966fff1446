/** The keeper's file as a grower writes it: which trays, by which doors, and who is told what. One zod schema. */
import { isIP } from 'node:net';
import * as z from 'zod';
import { parseQuantity } from '../../../shared/units';
import { HOUR_MS, MINUTE_MS } from '../../../shared/units/time';
import { DOOR_LIMITS, FILE_LIMITS, OPEN_LIMITS } from '../limits';
import type { SecretPlace } from './secret';

/** Raised when a key changes its meaning. */
export const FILE_VERSION = 1;

/** Of this computer alone, and the port that exporters of this sort have by custom. */
const METRICS_ADDRESS = '127.0.0.1:9464';

const SECRET_EXAMPLE = '{ file: mail-password } or { env: MAIL_PASSWORD }';

/** A secret by where it is, from a value of the file; null for anything else. */
export function secretPlace(given: unknown): SecretPlace | null {
  const { file, env } = Object(given);
  const count = Object.keys(Object(given)).length;
  if (typeof given !== 'object' || count !== 1) return null;
  if (typeof file === 'string' && file !== '') return { from: 'file', path: file };
  return typeof env === 'string' && env !== '' ? { from: 'env', name: env } : null;
}

export const secret = z.unknown().transform((given, context): SecretPlace => {
  const place = secretPlace(given);
  if (place !== null) return place;
  context.addIssue({
    code: 'custom',
    message:
      typeof given === 'string'
        ? `A secret is never written here, where others may read it. Say where it is: ${SECRET_EXAMPLE}.`
        : `Say where the secret is: ${SECRET_EXAMPLE}.`,
  });
  return z.NEVER;
});

const timeOfDay = z
  .string({ error: 'Write a time of day as "07:00", in quotes.' })
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Write a time of day as "07:00", in quotes.')
  .transform((text) => Number(text.slice(0, 2)) * 60 + Number(text.slice(3)));

const window = z.strictObject({ from: timeOfDay, to: timeOfDay });
export type Hours = z.output<typeof window>;

const duration = (leastMs: number, mostMs: number) =>
  z
    .string({ error: 'Write it with its unit, such as "5 min".' })
    .transform((text, context): number => {
      const parsed = parseQuantity('duration', text);
      if (parsed.ok && parsed.value * 1000 >= leastMs && parsed.value * 1000 <= mostMs) {
        return parsed.value * 1000;
      }
      const message = parsed.ok
        ? `From ${leastMs / MINUTE_MS} min to ${mostMs / HOUR_MS} h here.`
        : parsed.why;
      context.addIssue({ code: 'custom', message });
      return z.NEVER;
    });

const label = z.string().trim().min(1).max(FILE_LIMITS.nameChars);
const hostName = z.string().regex(/^[A-Za-z0-9._:-]+$/, 'The name of a server belongs here.');
const mailAddress = z
  .string()
  .regex(/^[^\s@<>,;"]+@[^\s@<>,;"]+$/, 'A mail address belongs here, such as ann@example.org.');
const portNumber = z.int().min(1).max(65_535);

/** Written out, or, where it has a token in it, kept as a secret. */
const address = (schemes: readonly string[]) =>
  z.union(
    [
      z.string().refine((text) => schemes.some((scheme) => text.startsWith(scheme))),
      z
        .unknown()
        .transform(secretPlace)
        .refine((place) => place !== null),
    ],
    {
      error: `An address that begins with ${schemes.join(' or ')} belongs here, or { file: ... } where it has a token in it.`,
    },
  );

const mail = z.strictObject({
  name: label,
  kind: z.literal('mail'),
  host: hostName,
  port: portNumber.default(465),
  /** `tls` from the first byte, `starttls` after a greeting; `none` only on this computer. */
  security: z.enum(['tls', 'starttls', 'none']).default('tls'),
  user: z.string().optional(),
  password: secret.optional(),
  from: mailAddress,
  ca: z.string().optional(),
});

const webhook = z.strictObject({
  name: label,
  kind: z.literal('webhook'),
  url: address(['https://', 'http://']),
  secret,
});

const brokerAddress = z
  .string()
  .regex(/^mqtts?:\/\/[^\s/@]+(:\d+)?\/?$/, 'Write mqtts://HOST:PORT, without a password in it.');
export const topic = z
  .string()
  .min(1)
  .max(200)
  .regex(/^[^#+\s/]([^#+\s]*[^#+\s/])?$/, 'A topic has no #, + or spaces, and no / at its ends.');

const mqtt = z.strictObject({
  name: label,
  kind: z.literal('mqtt'),
  url: brokerAddress,
  user: z.string().optional(),
  password: secret.optional(),
  topic,
  /** Journals go to a fleet's database (`cli/fleet`), at a topic that all of its keepers have. */
  journal: z.strictObject({ topic }).optional(),
  ca: z.string().optional(),
});

const tray = z.strictObject({
  name: label,
  port: z.string().min(1).optional(),
  controller: z
    .string()
    .regex(
      /^[0-9a-f]{16}$/,
      'The sixteen hex digits that `trayward find` shows belong here, in quotes.',
    )
    .optional(),
});

const LISTEN =
  'Write where the page listens, such as 127.0.0.1:4181; or 0.0.0.0:4181, for phones in the house.';

/** An address of this computer and a port, as a server takes them. */
export const listenAt = z
  .string({ error: LISTEN })
  .regex(/^(localhost|\d{1,3}(\.\d{1,3}){3}|\[[0-9a-f:]+\]):\d{1,5}$/i, LISTEN)
  .transform((text) => {
    const at = text.lastIndexOf(':');
    const host = text.slice(0, at).replace(/^\[|\]$/g, '');
    return { host: host === 'localhost' ? '127.0.0.1' : host, port: Number(text.slice(at + 1)) };
  })
  .refine(({ host, port }) => isIP(host) !== 0 && port <= 65_535, LISTEN);
export type ListenAt = z.output<typeof listenAt>;

const page = z.strictObject({
  listen: listenAt.prefault('127.0.0.1:4181'),
  /** As phones reach it: messages lead there. */
  url: z
    .url({
      protocol: /^https?$/,
      error: 'An address that begins with http:// or https:// belongs here.',
    })
    .optional(),
  token: secret.optional(),
});

const tell = z.strictObject({
  who: label,
  door: z.string(),
  to: mailAddress.optional(),
  trays: z.array(z.string()).min(1).optional(),
  what: z.enum(['all', 'alarms', 'urgent', 'morning']).default('all'),
  quiet: window.optional(),
});

/** A part of a Sparkplug topic. */
const topicPart = z
  .string()
  .trim()
  .min(1)
  .max(OPEN_LIMITS.topicPartChars)
  .regex(/^[^+#/\p{Cc}]*$/u, 'A part of a topic has no +, # or /.');

const sparkplug = z.strictObject({
  url: brokerAddress,
  user: z.string().optional(),
  password: secret.optional(),
  ca: z.string().optional(),
  group: topicPart,
  /** The name of the keeper unless told. */
  node: topicPart.optional(),
  /** Nothing is published while this host is not there. */
  host: topicPart.optional(),
  /** Whether hosts may say that alarms are seen or mended, and set marks. */
  commands: z.boolean().default(false),
});

const metrics = z.strictObject({
  /** `[::1]:9464` as well. */
  listen: z
    .string()
    .regex(
      /^([A-Za-z0-9.-]+|\[[0-9a-f:]+\]):(\d{1,5})$/i,
      'Write ADDRESS:PORT in quotes, such as "127.0.0.1:9464".',
    )
    .refine((text) => Number(text.replace(/^.*:/, '')) <= 65_535, 'A port is 65535 at most.')
    .default(METRICS_ADDRESS),
});

export const keepFile = z.strictObject({
  'trayward-keep': z.literal(FILE_VERSION),
  name: z
    .string()
    .regex(
      /^[a-z0-9]([a-z0-9-]{0,38}[a-z0-9])?$/,
      'Small letters, digits and hyphens, 40 at most, such as north-room.',
    ),
  units: z.enum(['metric', 'us']).default('metric'),
  morning: timeOfDay.default(7 * 60),
  quiet: window.optional(),
  heartbeat: z
    .strictObject({
      url: address(['https://', 'http://']),
      every: duration(DOOR_LIMITS.heartbeatLeastMs, DOOR_LIMITS.heartbeatMostMs).default(
        DOOR_LIMITS.heartbeatMs,
      ),
    })
    .optional(),
  page: page.optional(),
  sparkplug: sparkplug.optional(),
  metrics: metrics.optional(),
  trays: z.array(tray).min(1).max(FILE_LIMITS.traysMost),
  doors: z
    .array(
      z.discriminatedUnion('kind', [mail, webhook, mqtt], {
        error: 'A door has a kind: mail, webhook or mqtt.',
      }),
    )
    .min(1)
    .max(FILE_LIMITS.doorsMost),
  tell: z.array(tell).min(1).max(FILE_LIMITS.tellsMost),
});

export type KeepFile = z.output<typeof keepFile>;

/** Every key of the file, wherever it stands: for the nearest right one. */
export const KEYS: readonly string[] = [
  ...new Set(
    [keepFile, page, mail, webhook, mqtt, sparkplug, metrics, tray, tell].flatMap(({ shape }) =>
      Object.keys(shape),
    ),
  ),
  ...['from', 'to', 'url', 'every', 'file', 'env'],
];
