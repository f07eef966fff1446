/** A keeper's file: everything that is wrong with it at once, each with its place, and never a secret in what is said. */
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { inspect } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkKeepText } from '../../cli/keep/config/check';
import { EXAMPLE } from '../../cli/keep/config/example';
import { hiding, partsOfAddress, Secret } from '../../cli/keep/config/secret';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-keep-file-'));
  for (const [name, mode] of [
    ['mail-password', 0o600],
    ['open', 0o640],
  ] as const) {
    writeFileSync(join(folder, name), 'tell-nobody-7\n');
    chmodSync(join(folder, name), mode);
  }
  writeFileSync(join(folder, 'empty'), '\n', { mode: 0o600 });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** What is said of the example with some of its text changed, as `path: why`. */
function said(changes: Readonly<Record<string, string>>, env = {}): readonly string[] {
  const text = Object.entries(changes).reduce((all, [from, to]) => {
    if (!all.includes(from)) throw new Error(`the example has no ${from}`);
    return all.replace(from, to);
  }, EXAMPLE);
  const { problems } = checkKeepText(text, join(folder, 'room.yaml'), env);
  return problems.map(({ path, why }) => `${path}: ${why}`);
}

describe('a keeper’s file', () => {
  it('is in order as the example has it', () => {
    const { problems, plan } = checkKeepText(EXAMPLE, join(folder, 'room.yaml'), {});
    expect(problems).toEqual([]);
    expect(plan).toMatchObject({
      ...{ name: 'north-room', morningMin: 420, units: 'metric' },
      tells: [
        { what: 'all', quiet: { from: 1320, to: 390 } },
        { what: 'urgent', trays: ['Basil'] },
      ],
    });
  });

  it.each([
    [
      { 'mail-password }': 'open }' },
      /password: Others can read .*open \(its mode is 640\).*chmod 600/,
    ],
    [{ 'mail-password }': 'empty }' }, /password: .*empty is empty/],
    [{ '{ file: mail-password }': '{ env: MAIL }' }, /password: The environment has no MAIL/],
    [{ '{ file: mail-password }': 'tell-nobody-7' }, /password: A secret is never written here/],
    [{ 'security: tls ': 'security: none ' }, /security: Without TLS anybody/],
    [{ '    user: trays@example.org\n': '' }, /user: A user has a password/],
    [
      { 'port: /dev/ttyACM0': 'controller: "0123456789abcdef"' },
      /trays\[1\]\.controller: Two trays/,
    ],
    [{ '    port: /dev/ttyACM0 ': '    # ' }, /trays\[0\]\.port: It is not said where/],
    [{ 'name: Basil': 'name: Pepper north' }, /trays\[1\]\.name: Two trays have this name/],
    [
      { 'trays: [Basil]': 'trays: [Basel]' },
      /tell\[1\]\.trays\[0\]: There is no tray "Basel"\. Did you mean "Basil"\?/,
    ],
    [{ '    to: ann@example.org\n': '' }, /tell\[0\]\.to: By mail somebody is told at an address/],
    [{ 'what: urgent': 'what: urgnet' }, /tell\[1\]\.what: One of these .*Did you mean "urgent"\?/],
    [{ 'morning: "07:00"': 'morning: 7' }, /morning: Write a time of day as "07:00"/],
    [{ 'trayward-keep: 1': 'trayward-keep: 2' }, /trayward-keep: The file begins with/],
    [{ 'who: Ben': 'who: Ann' }, /tell\[1\]\.who: The same person is told by the same door twice/],
  ] as const)('with %j is refused', (changes, why) => {
    const all = said(changes).join('\n');
    expect(all).toMatch(why);
    expect(all).not.toContain('tell-nobody');
  });

  it('has all its mistakes told at once, those of files too', () => {
    const changes = {
      'name: north-room ': 'name: North ',
      'mail-password }': 'open }',
      'trays: [Basil]': 'trays: [Basel]',
    };
    expect(said(changes).map((one) => one.replace(/:.*/, ''))).toEqual([
      'name',
      'doors[0].password',
      'tell[1].trays[0]',
    ]);
  });

  it('may lead without TLS to this computer alone, and a token in an address is a secret', () => {
    const hook = (url: string) =>
      said({
        '  # - name: phone': `  - { name: phone, kind: webhook, url: ${url}, secret: { file: mail-password } }\n  # -`,
      }).join();
    expect(hook('http://127.0.0.1:9')).toMatch(/^doors\[1\]\.name: Nobody is told by this door\.$/);
    expect(hook('http://example.org/tell-nobody-7')).toMatch(/url: Without TLS/);
    expect(hook('http://example.org/tell-nobody-7')).not.toContain('tell-nobody');
  });
});

describe('a secret', () => {
  it('prints as hidden, whichever way', () => {
    const secret = new Secret('tell-nobody-7');
    expect([`${secret}`, JSON.stringify({ secret }), inspect({ secret })].join()).not.toContain(
      'nobody',
    );
    expect(secret.reveal()).toBe('tell-nobody-7');
  });

  it('is taken out of what a server says in every form it could come back in', () => {
    const value = 'tell nobody/7+';
    const bytes = Buffer.from(value);
    const forms = [
      value,
      encodeURIComponent(value),
      bytes.toString('base64'),
      bytes.toString('hex'),
    ];
    expect(hiding([value])(forms.join(' | '))).toBe(['***', '***', '***', '***'].join(' | '));
    expect(partsOfAddress('https://a.example/hooks/abcdefgh?k=12345678')).toContain('abcdefgh');
  });

  const open = (text: string): string =>
    said({ '# heartbeat:': `${text}\n# heartbeat:` })
      .filter((one) => !/Nobody is told/.test(one))
      .join('\n');

  it('may have open doors: a node of Sparkplug, and figures on this computer alone', () => {
    expect(open('sparkplug: { url: "mqtts://b:8883", group: Nursery }\nmetrics: {}')).toBe('');
    expect(open('metrics: { listen: "[::1]:9464" }')).toBe('');
    expect(open('metrics: { listen: "0.0.0.0:9464" }')).toMatch(
      /^metrics\.listen: Whoever reaches this address can read/,
    );
  });

  it.each([
    ['metrics: { listen: 9464 }', /metrics\.listen: /],
    ['metrics: { listen: "localhost:99999" }', /A port is 65535 at most/],
    ['sparkplug: { url: "mqtts://b" }', /sparkplug\.group: This is missing/],
    ['sparkplug: { url: "mqtt://b.example.org", group: G }', /sparkplug\.url: Without TLS/],
    ['sparkplug: { url: "mqtts://b", group: G, user: u }', /sparkplug\.password: A user has/],
    [
      'sparkplug: { url: "mqtts://b", group: G, user: u, password: tell-nobody-7 }',
      /sparkplug\.password: A secret is never written here/,
    ],
    ['sparkplug: { url: "mqtts://b", group: G, ca: none.pem }', /sparkplug\.ca: The certificate/],
    ['sparkplug: { url: "mqtts://b", group: G, comands: true }', /Did you mean "commands"\?/],
    ['sparkplug: { url: "mqtts://b", group: G, commands: yes please }', /sparkplug\.commands: /],
  ])('with %s is refused or warned of', (text, why) => {
    expect(open(text)).toMatch(why);
    expect(open(text)).not.toContain('tell-nobody');
  });
});
