/** The firmware as a whole: opens the tray from flash, and gives the board its two entry points. */
import { toBase64 } from '../shared/bytes';
import { ENTRY_BYTES } from '../shared/journal/codec';
import { LINK_LIMITS, type Params, type Result } from '../shared/link/methods';
import type { Board } from './board';
import type { Controller } from './controller';
import * as calibration from './handlers/calibration';
import { ProfileLoader } from './handlers/profile';
import { alarmReports, hello, status } from './handlers/status';
import * as told from './handlers/tray';
import { createLinkServer, type Handlers } from './link/server';
import { Ticker } from './tick';
import { FAULT, Tray } from './tray';

/** A controller on `board`. Outputs are off until the first tick asks for them. */
export function createController(board: Board): Controller {
  const tray = new Tray(board);
  const ticker = new Ticker(tray);
  const server = createLinkServer({
    handlers: handlersFor(tray, ticker),
    send: (door, bytes) => {
      board.send(door, bytes);
    },
    onFault: () => tray.write({ kind: 'fault', code: FAULT.linkHandler, detail: 0 }),
  });
  return {
    tick: () => ticker.tick(),
    receive: (door, bytes) => server.receive(door, bytes),
  };
}

function handlersFor(tray: Tray, ticker: Ticker): Handlers {
  const loader = new ProfileLoader(tray);
  const page = new Uint8Array(LINK_LIMITS.pageEntries * ENTRY_BYTES);
  return {
    'controller.hello': () => hello(tray),
    'status.read': () => status(tray, ticker.recorder),
    'clock.set': (params) => told.clockSet(tray, params),
    'scale.read': () => calibration.scaleRead(tray),
    'scale.measure': (params) => calibration.scaleMeasure(tray, params),
    'scale.measured': () => calibration.scaleMeasured(tray),
    'scale.calibrate': (params) => calibration.scaleCalibrate(tray, params),
    'scale.zero': (params) => calibration.scaleZero(tray, params),
    'scale.history': () => ({ calibrations: tray.calibrations.scale }),
    'scale.restore': (params) => calibration.scaleRestore(tray, params),
    'probe.read': () => calibration.probeRead(tray),
    'probe.calibrate': (params) => calibration.probeCalibrate(tray, params),
    'pump.run': (params) => calibration.pumpRun(tray, params),
    'pump.state': () => calibration.pumpState(tray),
    'pump.stop': () => ticker.stopPump(),
    'pump.calibrate': (params) => calibration.pumpCalibrate(tray, params),
    'mark.set': (params) => told.markSet(tray, ticker, params),
    'stage.next': () => told.stageNext(tray),
    'stage.stay': (params) => told.stageStay(tray, params),
    'alarm.list': () => ({ alarms: alarmReports(tray) }),
    'alarm.accept': ({ alarm }) => told.alarmAccept(tray, alarm),
    'alarm.clear': ({ alarm }) => told.alarmClear(tray, ticker, alarm),
    'alarm.shelve': (params) => told.alarmShelve(tray, params),
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
