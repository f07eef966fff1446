/** The first screen: what happened, how bad for the plants, what to do, can I leave again. Pure. */
import { nextSteps } from '../../shared/alarms/advice';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import type { Account, ToldFinding, ToldIncident } from '../explain/account';
import type { AlarmSpan } from '../explain/alarm-spans';
import { degreeHoursText } from '../explain/crop';
import { givenOf } from '../explain/given';
import { isNotice } from '../explain/other-alarms';
import { between } from '../explain/record';
import type { Stand } from '../explain/stand';
import { headline } from '../explain/text';
import { capitalised } from '../words/capitalised';
import { lidText } from '../words/lid';
import { percent } from '../words/percent';
import { type Asked, firstOf, plain, stageAt } from './asked';
import { heldOf } from './heat';
import { leaveOf } from './leaving';
import type { Answers, Line } from './model';
import { alarmId, incidentId } from './plot/of-stand';

export function answersOf(stand: Stand, account: Account, asked: Asked): Answers {
  const standing = stand.spans.filter(
    (span) => span.standing && span.fromMs <= asked.toMs && span.toMs >= asked.toMs,
  );
  return {
    happened: happened(account),
    plants: plantsLines(stand, account, asked),
    next: nextLines(stand, account, standing, asked),
    ...leaveOf(stand, account, standing, asked),
  };
}

function happened({ incidents, quiet, quietText }: Account): readonly Line[] {
  if (quiet.readings === 0 && incidents.length === 0)
    return [plain('The journal has no readings of this time.')];
  if (incidents.length === 0)
    return [
      plain('Nothing went wrong, as far as the journal tells.'),
      plain(`${capitalised(quietText)}.`),
    ];
  const told = incidents.map(
    (incident, i): Line => ({
      says: `${headline(incident)}, ${incident.when}${incident.open ? '' : '; over'}.`,
      id: incidentId(i + 1),
    }),
  );
  return firstOf(told);
}

/** How it was held, and fed, stands below them. */
const MEANT_MOST = 3;

/** What it meant for the crop, the gravest first, then how it was held on the whole. */
function plantsLines(stand: Stand, account: Account, asked: Asked): readonly Line[] {
  const { incidents } = account;
  const found = incidents.flatMap(({ findings }, i) =>
    findings.map((finding) => ({ finding, id: incidentId(i + 1) })),
  );
  const { units } = asked;
  const meant = [
    ...[...found]
      .sort((a, b) => graveness(a.finding) - graveness(b.finding))
      .flatMap(({ finding, id }) =>
        finding.crop
          .filter(({ says }) => says !== spellText(finding, units))
          .map(({ says }): Line => ({ says: `${capitalised(says)}.`, id })),
      ),
    ...(['cold', 'warm'] as const).flatMap((side) => sumLine(found, side, units)),
  ];
  const told = meant.filter(({ says }, i) => meant.findIndex((one) => one.says === says) === i);
  const worst =
    told.length > 0
      ? firstOf(told, MEANT_MOST)
      : [plain('Nothing in the journal says that they suffered.')];
  return [...worst, ...heldLines(stand, account, asked), ...fedLines(stand, asked)];
}

/** A finding, and where the page tells more of it. */
interface Found {
  readonly finding: ToldFinding;
  readonly id: string;
}

const isOutOfBand = ({ kind }: ToldFinding): boolean => kind === 'cold' || kind === 'warm';

/** What a spell out of the band says of its own degree-hours; null where it is none. */
function spellText(
  { kind, measures: { degreeHours } }: ToldFinding,
  units: UnitSystem,
): string | null {
  const isSpell = (kind === 'cold' || kind === 'warm') && degreeHours !== null;
  return isSpell ? degreeHoursText(degreeHours, kind, units) : null;
}

/** All spells of a side in one sum: degree-hours are added up by whoever reads them. */
function sumLine(
  found: readonly Found[],
  side: 'cold' | 'warm',
  units: UnitSystem,
): readonly Line[] {
  const spells = found.filter(({ finding }) => finding.kind === side);
  const [first] = spells;
  if (first === undefined) return [];
  const sum = spells.reduce((all, { finding }) => all + (finding.measures.degreeHours ?? 0), 0);
  const count = spells.length > 1 ? `, in ${spells.length} spells` : '';
  return [{ says: `${degreeHoursText(sum, side, units)}${count}.`, id: first.id }];
}

/** Wool that goes dry kills within a day, heat or cold only sets back: 0 is told first. */
const graveness = ({ kind }: ToldFinding): number => (kind === 'dry' ? 0 : 1);

function heldLines(
  stand: Stand,
  { incidents }: Account,
  { fromMs, toMs, units }: Asked,
): readonly Line[] {
  const { inBandShare, coldestC, warmestC } = heldOf(stand, fromMs, toMs);
  if (!Number.isFinite(inBandShare)) return [];
  const temperature = (c: number): string => formatQuantity('temperature', c, units);
  // The very spells that the incidents tell: a number of its own would be another one.
  const outS = incidents
    .flatMap(({ findings }) => findings.filter(isOutOfBand))
    .reduce((longest, { forS }) => Math.max(longest, forS), 0);
  const out =
    outS > 0
      ? ` The longest time outside was ${formatQuantity('duration', Math.round(outS / 60) * 60, units)}.`
      : '';
  return [
    plain(
      `Root zone ${temperature(coldestC)} to ${temperature(warmestC)}, in its band ${percent(inBandShare)} of the time.${out}`,
    ),
  ];
}

function fedLines({ record }: Stand, { fromMs, toMs, units }: Asked): readonly Line[] {
  const started = between(givenOf(record), fromMs, toMs);
  if (started.length === 0) return [plain('The controller gave no water in this time.')];
  const given = started.filter(({ ml }) => ml > 0);
  if (given.length === 0) return [plain('No dose reached the tray in this time.')];
  const eachMl = given.reduce((sum, one) => sum + one.eachMl, 0);
  const eachMg = given.reduce((sum, one) => sum + one.eachSaltsMg, 0);
  const count = given.length === 1 ? '1 dose' : `${given.length} doses`;
  const each = Number.isFinite(eachMl)
    ? `: ${formatQuantity('volume', eachMl, units)} for each plant${Number.isFinite(eachMg) ? `, with ${eachMg.toFixed(0)} mg of salts` : ''}`
    : '';
  return [plain(`Fed by ${count}${each}.`)];
}

function nextLines(
  stand: Stand,
  { incidents }: Account,
  standing: readonly AlarmSpan[],
  asked: Asked,
): readonly Line[] {
  const ofIncidents = incidents.flatMap((incident, i) =>
    stepsOf(incident).map((says): Line => ({ says, id: incidentId(i + 1) })),
  );
  // All other alarms that stand are told by an incident, with its own steps.
  const ofAlarms = standing
    .filter(isNotice)
    .flatMap(({ alarm }) => nextSteps(alarm).map((says): Line => ({ says, id: alarmId(alarm) })));
  const all = [...ofIncidents, ...ofAlarms];
  const steps = all.filter(({ says }, i) => all.findIndex((one) => one.says === says) === i);
  return [
    ...(steps.length === 0 ? [plain('Nothing in the journal waits for you.')] : firstOf(steps)),
    ...stageLines(stand, asked),
  ];
}

const stepsOf = ({ next }: ToldIncident): readonly string[] => next;

/** What the stage wants of the grower. */
function stageLines({ record }: Stand, { toMs }: Asked): readonly Line[] {
  const stage = stageAt(record, toMs);
  if (stage === null) return [];
  const mark = stage.end.mark === null ? '' : ` It ends when you mark ${stage.end.mark}.`;
  return [
    plain(
      `The last stage here, ${stage.name}, wants the lid ${lidText(stage.lid)}; the controller cannot see it.${mark}`,
    ),
  ];
}
