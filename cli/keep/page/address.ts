/** Addresses of the page, for messages and for people. Pure. */
import { isIPv6 } from 'node:net';
import { isHere } from '../config/open-doors';
import type { PagePlan } from '../config/plan';

/** Path of a tray's own page. */
export const trayPath = (tray: string): string => `/trays/${encodeURIComponent(tray)}`;

/** `http://127.0.0.1:4181`, as it is opened on this computer. */
export function localAddress({ host, port }: PagePlan['listen']): string {
  const name = host === '0.0.0.0' ? '127.0.0.1' : host === '::' ? '::1' : host;
  return `http://${isIPv6(name) ? `[${name}]` : name}:${port}`;
}

/** What a message leads to; null where no phone could open it. */
export function linkTo(page: PagePlan | null, tray: string | null): string | null {
  if (page === null) return null;
  const { host } = page.listen;
  const isOwn = isHere(host) || host === '0.0.0.0' || host === '::';
  const base = page.url ?? (isOwn ? null : localAddress(page.listen));
  return base === null ? null : `${base}${tray === null ? '/' : trayPath(tray)}`;
}

/** The text of a message with its link, where it has one. */
export function withLink(text: string, page: PagePlan | null, tray: string | null): string {
  const link = linkTo(page, tray);
  return link === null ? text : `${text}\n\nThe page: ${link}`;
}
