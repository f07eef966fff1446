/** What is wrong with the open doors of a keeper's file, by its raw values. */
import { isIPv4 } from 'node:net';
import type { ProblemContent, SourcePath } from '../../../shared/profile/host/problem';

interface Problem extends ProblemContent {
  readonly path: SourcePath;
}

/** Whether a server is on this very computer. */
export const isHere = (host: string): boolean =>
  host === 'localhost' || host === '::1' || (isIPv4(host) && host.startsWith('127.'));

/** Address and port of `ADDRESS:PORT`, an IPv6 address without its brackets. */
export function addressOf(listen: string): { readonly host: string; readonly port: number } {
  const at = listen.lastIndexOf(':');
  const host = listen.slice(0, at).replace(/^\[|\]$/g, '');
  return { host, port: Number(listen.slice(at + 1)) };
}

/** Every problem of the kind, in no order. */
export function openDoorProblems(file: unknown): readonly Problem[] {
  const { sparkplug, metrics, trays } = Object(file);
  return [
    ...(sparkplug === undefined ? [] : deviceProblems(Array.isArray(trays) ? trays : [])),
    ...listenProblems(Object(metrics).listen),
  ];
}

/** Names of trays are parts of topics. Hosts that make no difference between large and small letters are many. */
function deviceProblems(trays: readonly unknown[]): readonly Problem[] {
  const names = trays.map((tray) => String(Object(tray).name ?? '').trim());
  return names.flatMap((name, i): Problem[] => {
    const path = ['trays', i, 'name'];
    if (/[+#/]/.test(name)) {
      return [{ path, why: 'For Sparkplug the name of a tray has no +, # or /.' }];
    }
    const isTwice = names.some(
      (other, at) => at < i && other !== name && other.toLowerCase() === name.toLowerCase(),
    );
    const why = 'For Sparkplug two names differ by more than large and small letters.';
    return isTwice ? [{ path, why }] : [];
  });
}

function listenProblems(listen: unknown): readonly Problem[] {
  if (typeof listen !== 'string' || isHere(addressOf(listen).host)) return [];
  const why =
    'Whoever reaches this address can read how the trays stand: nothing asks for a password there.';
  return [{ path: ['metrics', 'listen'], severity: 'warning', why }];
}
