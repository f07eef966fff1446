/** What is wrong with the page of a keeper's file: one that others can reach wants a token that nobody guesses. */
import { TOKEN_LIMITS } from '../page/limits';
import type { AcrossProblem, Item, Surroundings } from './across';
import { isHere } from './open-doors';
import { listenAt, secretPlace } from './schema';
import { readSecret } from './secret';

/** Problems of the value at `page`; none where there is none. */
export function pageProblems({ path, value }: Item, around: Surroundings): AcrossProblem[] {
  if (typeof value !== 'object' || value === null) return [];
  const { listen, url, token } = Object(value);
  const at = listenAt.safeParse(listen ?? '127.0.0.1:4181');
  const place = secretPlace(token);
  const leads = hostOf(url);
  const isOpen = (at.success && !isHere(at.data.host)) || (leads !== null && !isHere(leads));
  if (token === undefined && isOpen) {
    const why =
      'Others can reach this page: it wants a token. Write one that nobody guesses into a file, `openssl rand -hex 16 > page-token`, do `chmod 600 page-token`, and add token: { file: page-token }.';
    return [{ path: [...path, at.success && !isHere(at.data.host) ? 'listen' : 'url'], why }];
  }
  const read = place === null ? null : readSecret(place, around.folder, around.env);
  const why = read?.ok === true ? whyNoToken(read.secret.reveal()) : null;
  return [
    ...(why === null ? [] : [{ path: [...path, 'token'], why }]),
    ...(at.success && url === undefined ? noLink(path, at.data.host) : []),
  ];
}

/** Why a text cannot be the token of a page; null where it can. */
export const whyNoToken = (token: string): string | null =>
  token.length >= TOKEN_LIMITS.leastChars
    ? null
    : `A token has ${TOKEN_LIMITS.leastChars} signs or more, or it can be guessed: \`openssl rand -hex 16\` makes one.`;

function hostOf(url: unknown): string | null {
  try {
    return new URL(String(url)).hostname.replace(/^\[|\]$/g, '');
  } catch {
    return null;
  }
}

/** Messages lead to an address that phones can open, or to none. */
const noLink = (path: Item['path'], host: string): AcrossProblem[] =>
  isHere(host) || host === '0.0.0.0' || host === '::'
    ? [
        {
          path: [...path, 'url'],
          severity: 'warning',
          why: 'Messages will have no link to the page: add url: http://NAME:PORT, as a phone reaches it.',
        },
      ]
    : [];
