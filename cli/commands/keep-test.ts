/** `keep test`: one message to each person by each door, at once. */
import type { Context } from '../context';
import { CommandError } from '../failure';
import { readKeep } from '../keep/config/check';
import type { KeepPlan, Tell } from '../keep/config/plan';
import { type Door, DoorError, idOf } from '../keep/doors/door';
import { wrap } from '../terminal/output';

interface Tested {
  readonly who: string;
  readonly door: string;
  readonly ok: boolean;
  readonly why: string | null;
}

async function testOne(plan: KeepPlan, tell: Tell, door: Door, nowMs: number): Promise<Tested> {
  const { who, door: name, to, id } = tell;
  const message = {
    ...({ id: `test-${nowMs}`, kind: 'test', priority: 'low', tray: null, topic: null } as const),
    madeMs: nowMs,
    subject: `Trayward ${plan.name}: a test`,
    text: `${who}, this is a test of the keeper of "${plan.name}". Messages about trays will come this way. Nothing is to be done.`,
  };
  try {
    const letter = {
      id: idOf(id, String(nowMs)),
      thread: null,
      to,
      from: plan.name,
      message,
      nowMs,
    };
    await door.send(letter);
    return { who, door: name, ok: true, why: null };
  } catch (error) {
    if (!(error instanceof DoorError)) throw error;
    return { who, door: name, ok: false, why: error.message };
  }
}

export async function testDoors(context: Context, file: string | undefined) {
  const { plan } = readKeep(file, context.world.env);
  const { openMessageDoors } = await import('../keep/start');
  const doors = await openMessageDoors(plan);
  context.atEnd(
    async () => void (await Promise.all([...doors.values()].map((one) => one.close()))),
  );
  const sent: Tested[] = [];
  for (const tell of plan.tells) {
    const door = doors.get(tell.door);
    if (door !== undefined) sent.push(await testOne(plan, tell, door, context.world.now()));
  }
  const lines = sent.map(({ who, door, ok, why }) =>
    wrap(ok ? `${who} by ${door}: sent.` : `${who} by ${door}: ${why}`, context.style.width),
  );
  const failed = sent.filter(({ ok }) => !ok);
  if (failed.length === 0) {
    const then = 'See that each has arrived: what a server takes it may still lose.';
    return { result: { sent }, text: [...lines, then].join('\n') };
  }
  throw new CommandError(
    'failed',
    'keep-test-failed',
    [`${failed.length} of ${sent.length} messages did not go.`, ...lines].join('\n'),
    'Put it right, then try again.',
    sent,
  );
}
