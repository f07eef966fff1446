/** How a stage goes on, in a grower's words. */
import type { Status } from '../../shared/link/status';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { lidText } from './lid';

/** What ends it, and where the lid belongs meanwhile. */
export function stageNotes(stage: NonNullable<Status['stage']>, units: UnitSystem): string {
  const { leftS, endsByMark, staying, lid } = stage;
  return [
    ...(staying ? ['stays until you say `stage next`'] : []),
    ...(leftS === null || staying ? [] : [`${formatQuantity('duration', leftS, units)} left`]),
    ...(endsByMark === null ? [] : [`ends when marked ${endsByMark}`]),
    `lid belongs ${lidText(lid)}`,
  ].join(', ');
}
