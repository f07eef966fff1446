/** What a test wants to know of findings. */
import type { Finding } from '../../firmware/guard/finding';
import type { AlarmName } from '../../shared/alarms/catalogue';

/** What was found of one alarm: `null` when the watch did not speak of it. */
export function said(findings: readonly Finding[], alarm: AlarmName): Finding['is'] | null {
  const about = findings.filter((finding) => finding.alarm === alarm);
  if (about.length > 1) throw new Error(`${alarm} was found twice at once`);
  return about[0]?.is ?? null;
}

/** Every alarm that was found. */
export function found(findings: readonly Finding[]): AlarmName[] {
  return findings
    .filter(({ is }) => is === 'present' || is === 'happened')
    .map(({ alarm }) => alarm);
}
