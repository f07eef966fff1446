/** The account as a grower reads it: the worst first, each incident in a few labelled lines, never more than a few screens. */

import type { UnitSystem } from '../../shared/units';
import { describeEntry } from '../journal/describe';
import { type Fact, facts, indented, type Style, wrap } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import type { Account, ToldCause, ToldClaim, ToldIncident } from './account';
import { dayTime, rangeText } from './show';

/** So many are told in full; the next ones in a line each; the rest only counted. */
const FULL_MOST = 5;
const LINES_MOST = 10;
/** Of one incident. */
const FINDINGS_MOST = 4;
const EVIDENCE_MOST = 40;

export interface TextOptions {
  readonly style: Style;
  readonly units: UnitSystem;
  readonly nowMs: number;
  /** Whether the entries behind each incident are printed. */
  readonly evidence: boolean;
}

export function accountText(account: Account, options: TextOptions): string {
  const { style, nowMs } = options;
  const { incidents, fromMs, toMs, unknown, notices } = account;
  const period = rangeText(dayTime(fromMs, nowMs), toMs >= nowMs ? 'now' : dayTime(toMs, nowMs));
  const says = (text: string): string => wrap(text, style.width);
  const full = incidents.slice(0, FULL_MOST).map((one, i) => incidentText(one, i + 1, options));
  const brief = incidents
    .slice(FULL_MOST, FULL_MOST + LINES_MOST)
    .map((one, i) => says(`${FULL_MOST + i + 1}. ${headline(one)}, ${one.when}.`));
  const more = incidents.length - FULL_MOST - LINES_MOST;
  return [
    says(headText(account, period)),
    ...full,
    ...(brief.length > 0
      ? [[...brief, says('`trayward report` tells each of these in full.')].join('\n')]
      : []),
    ...(more > 0
      ? [says(`And ${more} more; --json has them all, --since and --until fewer.`)]
      : []),
    ...(notices.length > 0
      ? [says(`It also asked for: ${notices.slice(0, FULL_MOST).join('; ')}.`)]
      : []),
    ...(unknown.length > 0 ? [style.warn(says(unknown.join('\n')))] : []),
  ].join('\n\n');
}

function headText({ incidents, quiet, quietText }: Account, period: string): string {
  if (incidents.length > 0) {
    const count = incidents.length === 1 ? 'One thing' : `${incidents.length} things`;
    return `${count} went wrong from ${period}${incidents.length > 1 ? ', the worst first' : ''}:`;
  }
  if (quiet.readings === 0) return `The journal has no readings from ${period}.`;
  return `Nothing went wrong from ${period}: ${quietText}.`;
}

/** What was the cause, or what it may have been. */
export function headline({ causes, findings }: ToldIncident): string {
  const [best, ...others] = causes;
  if (best === undefined || best.cause === 'not-told') {
    // What comes after its first comma is when it was, and that follows the headline.
    return findings[0]?.what.says.split(', ')[0] ?? 'Something went wrong';
  }
  const possible = others.filter(({ fit }) => fit === 'possible').map(({ says }) => says);
  return capitalised([best.says, ...possible].join('; or '));
}

function incidentText(incident: ToldIncident, number: number, options: TextOptions): string {
  const { style } = options;
  const lead = `${number}. `;
  const head = wrap(`${lead}${headline(incident)}, ${incident.when}`, style.width, lead.length);
  const told = facts(factsOf(incident), style, lead.length);
  const evidence = options.evidence ? `\n${evidenceText(incident, options, lead.length)}` : '';
  return `${style.strong(head)}\n${told}${evidence}`;
}

export function factsOf(incident: ToldIncident): readonly Fact[] {
  const { causes, findings, next } = incident;
  const known = causes[0]?.cause !== 'not-told';
  const what = findings.slice(0, FINDINGS_MOST).map(({ what: one }) => sentence(one.says));
  const more = findings.length - FINDINGS_MOST;
  const lines: Fact[] = [
    {
      label: 'What',
      value: [...what, ...(more > 0 ? [`And ${more} more of the kind.`] : [])].join('\n'),
    },
    { label: 'Why', value: known ? whyText(causes) : 'The journal does not say why.' },
  ];
  const did = unique(findings.flatMap((one) => one.did));
  if (did.length > 0) lines.push({ label: 'Controller', value: did.join('\n') });
  const crop = unique(findings.flatMap((one) => one.crop));
  if (crop.length > 0) lines.push({ label: 'Crop', value: crop.join('\n') });
  lines.push({
    label: 'Now',
    value:
      next.length === 0 ? 'It is over; nothing to do.' : next.map((step) => `- ${step}`).join('\n'),
  });
  return lines;
}

function whyText(causes: readonly ToldCause[]): string {
  const [best, ...others] = causes;
  if (best === undefined) return '';
  const list = (claims: readonly ToldClaim[]): string =>
    claims.map(({ says }) => lowered(says)).join('; ');
  const possible = others.filter(({ fit, cause }) => fit === 'possible' && cause !== 'not-told');
  const poor = others.filter(
    ({ fit, cause, speaksAgainst }) =>
      fit === 'poor' && cause !== 'not-told' && speaksAgainst.length > 0,
  );
  return [
    sentence(list(best.speaksFor)),
    ...possible.map(({ says, speaksFor }) => sentence(`Or ${says}: ${list(speaksFor)}`)),
    ...poor.map(({ says, speaksAgainst }) =>
      sentence(`Fits less well: ${says}, because ${list(speaksAgainst)}`),
    ),
  ].join('\n');
}

const sentence = (text: string): string => `${capitalised(text)}.`;
/** Inside a sentence; names and quotes keep their capitals. */
const lowered = (text: string): string =>
  /^[A-Z][a-z]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;

const unique = (claims: readonly ToldClaim[]): readonly string[] => [
  ...new Set(claims.map(({ says }) => sentence(says))),
];

function evidenceText(
  { evidence }: ToldIncident,
  { style, units, nowMs }: TextOptions,
  indent: number,
): string {
  const lines = evidence.slice(0, EVIDENCE_MOST).map(({ entry, unixMs }) => {
    const time =
      unixMs === null
        ? `start ${entry.boot}, ${Math.round(entry.uptimeMs / 1000)} s`
        : dayTime(unixMs, nowMs);
    const begin = `${entry.sequence}  ${time}  `;
    return wrap(begin + describeEntry(entry, units), style.width - indent, begin.length);
  });
  const more = evidence.length - EVIDENCE_MOST;
  const all = more > 0 ? [...lines, `and ${more} more`] : lines;
  return style.quiet(indented(['Entries of the journal:', ...all].join('\n'), indent));
}
