/** What `board check` found, for the screen and for a file. */
import type { Hello } from '../../shared/link/methods';
import { localTime } from '../terminal/local-time';
import { facts, type Style, wrap } from '../terminal/output';
import { type Finding, isGood, type Verdict } from './finding';
import { STEPS } from './steps';

const VERDICTS: Readonly<Record<Verdict, string>> = {
  good: 'good',
  wrong: 'WRONG',
  untried: 'not tried',
};

function summary(findings: readonly Finding[], complete: boolean): string {
  const count = (verdict: Verdict) => findings.filter((one) => one.verdict === verdict).length;
  const [wrongs, untrieds] = [count('wrong'), count('untried')];
  const told = (): string => {
    if (!isGood(findings)) return `${wrongs} of ${findings.length} wrong.`;
    if (count('good') === 0) return 'Nothing is known to be good.';
    return untrieds === 0 ? 'All that was tried is good.' : 'Nothing is wrong.';
  };
  return [
    ...(complete ? [] : ['Stopped before its end.']),
    told(),
    ...(untrieds === 0 ? [] : [`${untrieds} not tried.`]),
  ].join(' ');
}

/** In the width of the screen. */
export function reportText(findings: readonly Finding[], complete: boolean, style: Style): string {
  const lines = findings.map(({ step, verdict, says, next }) => {
    const told = next === null ? says : `${says} ${next}`;
    const word = VERDICTS[verdict];
    const shown = verdict === 'wrong' ? style.warn(word) : word;
    return { label: STEPS[step].title, value: `${shown}: ${told}` };
  });
  return `${facts(lines, style)}\n\n${wrap(summary(findings, complete), style.width)}`;
}

/** As a text file, to keep or to send. */
export function reportLines(
  { product, firmware, boardId }: Hello,
  findings: readonly Finding[],
  complete: boolean,
  nowMs: number,
): string {
  const head = `${product} ${firmware}, board ${boardId}, checked ${localTime(nowMs)}`;
  const lines = findings.map(
    ({ step, verdict, says, next }) =>
      `${STEPS[step].title}: ${VERDICTS[verdict]}. ${says}${next === null ? '' : ` ${next}`}`,
  );
  return [head, '', ...lines, '', summary(findings, complete), ''].join('\n');
}
