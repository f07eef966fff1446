import { it } from 'vitest';
import { growerAtChip } from '/work/rt/tests/image/images';

it('x', async () => {
  const g = await growerAtChip();
  g.bench.run(5000);
  const t0 = Date.now();
  console.log(JSON.stringify(g.status()));
  g.commission();
  console.log(
    'commissioned',
    g.bench.nowMs / 60000,
    'min',
    Date.now() - t0,
    g.bench.chip.faults,
    g.bench.chip.complaints,
    g.bench.boots,
  );
  console.log(JSON.stringify(g.status()));
  const t1 = Date.now();
  g.bench.run(3600_000);
  console.log('1 h', Date.now() - t1);
  console.log(JSON.stringify(g.status()), g.journal().length);
  console.log(g.bench.state().outputs, g.bench.boots);
}, 600000);
