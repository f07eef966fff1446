/** Whether somebody is to move the lid: a stage began that wants it elsewhere, and nobody has said that it is there. */
import { describe, expect, it } from 'vitest';
import { lidToMove } from '../../cli/away/lid-to-move';
import { recordOf } from '../../cli/explain/record';
import { dateEntries } from '../../cli/journal/dating';
import type { LidPlace } from '../../shared/profile/profile';
import { MadeJournal, PROFILE_ID, TRAY } from './made-journal';

/** After a day under a closed lid a stage begins that wants it `wanted`, and goes on for `hours`. */
function fed(wanted: LidPlace, hours: number, marked?: { readonly beforeH?: number }): MadeJournal {
  const stages = TRAY.stages.map((stage, i) => ({ ...stage, lid: i === 1 ? wanted : 'closed' }));
  const made = new MadeJournal({ ...TRAY, stages }).goOn(24 - (marked?.beforeH ?? 0));
  if (marked?.beforeH !== undefined) {
    made.note({ kind: 'note', text: `lid ${wanted}`, more: 0 }).goOn(marked.beforeH);
  }
  made.note({ kind: 'stage', from: 0, to: 1, reason: 'mark', ranS: 24 * 3600, waterMl: 0 });
  if (marked !== undefined && marked.beforeH === undefined) {
    made.goOn(hours / 2, { stage: 1 }).note({ kind: 'note', text: `lid ${wanted}`, more: 0 });
  }
  return made.goOn(hours, { stage: 1 });
}

function toMove(made: MadeJournal, wanted: LidPlace): LidPlace | null {
  const profiles = { byId: new Map([[PROFILE_ID, made.profile]]), activeId: null };
  const record = recordOf(dateEntries(made.entries), profiles);
  return lidToMove(record, wanted, record.toMs);
}

describe('the lid after a new stage', () => {
  it('is to be propped where the stage wants that, from its first minute on', () => {
    expect(toMove(fed('propped', 0), 'propped')).toBe('propped');
    expect(toMove(fed('propped', 60), 'propped')).toBe('propped');
  });

  it('is left in peace where it belongs there already', () => {
    expect(toMove(fed('closed', 10), 'closed')).toBeNull();
  });

  it('has been moved once somebody marks it, also just before the stage', () => {
    expect(toMove(fed('propped', 10, {}), 'propped')).toBeNull();
    expect(toMove(fed('propped', 10, { beforeH: 0.5 }), 'propped')).toBeNull();
    // Hours before, it was moved for something else.
    expect(toMove(fed('propped', 10, { beforeH: 20 }), 'propped')).toBe('propped');
  });

  it('is asked for three days long, no longer: there are growers who mark no lids', () => {
    expect(toMove(fed('propped', 71), 'propped')).toBe('propped');
    expect(toMove(fed('propped', 73), 'propped')).toBeNull();
  });

  it('belongs nowhere else before any stage has ended', () => {
    expect(toMove(new MadeJournal().goOn(24), 'closed')).toBeNull();
  });
});
