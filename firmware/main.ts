/** The firmware as a whole: opens the tray from flash, and gives the board its entry points. */

import { FAULT } from '../shared/board/words';
import { toBase64 } from '../shared/bytes';
import { ENTRY_BYTES } from '../shared/journal/codec';
import { LINK_LIMITS, type Params, type Result } from '../shared/link/methods';
import type { Board } from './board';
import type { Controller } from './controller';
import {
  probeCalibrate,
  probeRead,
  pumpCalibrate,
  pumpRun,
  pumpState,
  scaleCalibrate,
  scaleMeasure,
  scaleMeasured,
  scaleRead,
  scaleRestore,
  scaleZero,
} from './handlers/calibration';
import { ProfileLoader } from './handlers/profile';
import { alarmReports, hello, status } from './handlers/status';
import {
  alarmAccept,
  alarmClear,
  alarmShelve,
  clockSet,
  markSet,
  stageNext,
  stageStay,
} from './handlers/tray';
import { RECORD_LIMITS } from './limits';
import { createLinkServer, type Handlers } from './link/server';
import { Ticker } from './tick/ticker';
import { Tray } from './tray/tray';

/** A controller on `board`. Outputs are off until the first tick asks for them. */
export function createController(board: Board): Controller {
  const tray = new Tray(board);
  const ticker = new Ticker(tray);
  let nextFaultMs = 0;
  const server = createLinkServer({
    handlers: handlersFor(tray, ticker),
    send: (door, bytes) => {
      // What a reply says was done must outlive a power cut in the same second.
      if (tray.stale) tray.checkpoint();
      board.send(door, bytes);
    },
    onFault: () => {
      if (tray.uptimeMs < nextFaultMs) return;
      nextFaultMs = tray.uptimeMs + RECORD_LIMITS.faultEveryMs;
      tray.write({ kind: 'fault', code: FAULT.linkHandler, detail: 0 });
    },
  });
  return {
    tick: () => ticker.tick(),
    rest: () => {
      tray.journal.prepare();
      tray.settings.prepare();
    },
    receive: (door, bytes) => server.receive(door, bytes),
  };
}

function handlersFor(tray: Tray, ticker: Ticker): Handlers {
  const loader = new ProfileLoader(tray);
  const page = new Uint8Array(LINK_LIMITS.pageEntries * ENTRY_BYTES);
  return {
    'controller.hello': () => hello(tray),
    'status.read': () => status(tray, ticker.recorder),
    'clock.set': (params) => clockSet(tray, params),
    'scale.read': () => scaleRead(tray),
    'scale.measure': (params) => scaleMeasure(tray, params),
    'scale.measured': () => scaleMeasured(tray),
    'scale.calibrate': (params) => scaleCalibrate(tray, params),
    'scale.zero': (params) => scaleZero(tray, params),
    'scale.history': () => ({ calibrations: tray.calibrations.scale }),
    'scale.restore': (params) => scaleRestore(tray, params),
    'probe.read': () => probeRead(tray),
    'probe.calibrate': (params) => probeCalibrate(tray, params),
    'pump.run': (params) => pumpRun(tray, params),
    'pump.state': () => pumpState(tray),
    'pump.stop': () => ticker.stopPump(),
    'pump.calibrate': (params) => pumpCalibrate(tray, params),
    'mark.set': (params) => markSet(tray, ticker, params),
    'stage.next': () => stageNext(tray),
    'stage.stay': (params) => stageStay(tray, params),
    'alarm.list': () => ({ alarms: alarmReports(tray) }),
    'alarm.accept': ({ alarm }) => alarmAccept(tray, alarm),
    'alarm.clear': ({ alarm }) => alarmClear(tray, ticker, alarm),
    'alarm.shelve': (params) => alarmShelve(tray, params),
    'profile.slots': () => loader.slots(),
    'profile.begin': (params) => loader.begin(params),
    'profile.chunk': (params) => loader.chunk(params),
    'profile.commit': (params) => loader.commit(params),
    'profile.read': (params) => loader.read(params),
    'journal.info': () => ({
      first: tray.journal.first(),
      next: tray.journal.next(),
      boot: tray.boot,
      uptimeMs: tray.uptimeMs,
    }),
    'journal.page': (params) => journalPage(tray, params, page),
  };
}

function journalPage(
  tray: Tray,
  { from, count }: Params<'journal.page'>,
  page: Uint8Array,
): Result<'journal.page'> {
  const { journal } = tray;
  const read = journal.readPacked(from, Math.min(count, LINK_LIMITS.pageEntries), page);
  return {
    from: read.from,
    count: read.count,
    data: toBase64(page, 0, read.count * ENTRY_BYTES),
    first: journal.first(),
    next: journal.next(),
  };
}
