/** The journals of a keeper's trays on their way to a fleet: one sender for each door that has `journal:`. */
import type { KeepPlan } from '../../keep/config/plan';
import type { Around, Beside } from '../../keep/start';
import type { TrayWatch } from '../../keep/tray/watch';
import { JournalSender, type SentTray } from './sender';

/** What goes round beside the keeper of `plan`. */
export function sendersOf({ doors, name }: KeepPlan, around: Around): readonly Beside[] {
  return doors.flatMap((door): Beside[] => {
    if (door.kind !== 'mqtt' || door.journal === null) return [];
    const sender = new JournalSender(
      { broker: door, topic: door.journal.topic, keeper: name },
      around,
    );
    return [
      {
        round: (watches) => sender.round(sentTrays(watches)),
        close: () => sender.close(),
      },
    ];
  });
}

/** A tray that has never answered is known by its controller, if the file names it. */
const sentTrays = (watches: readonly TrayWatch[]): readonly SentTray[] =>
  watches.flatMap(({ plan: { name, controller }, live }) => {
    const boardId = live.boardId ?? controller;
    return boardId === null ? [] : [{ name, boardId }];
  });
