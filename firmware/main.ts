/** The firmware as a whole: opens the tray from flash, and gives the board its entry points. */
import { FAULT } from '../shared/board/words';
import { detailOf } from './assert';
import type { Board } from './board';
import type { Controller } from './controller';
import { alarmAccept, alarmClear, alarmReports, alarmShelve } from './handlers/alarms';
import { bootDrive } from './handlers/boot-drive';
import {
  probeCalibrate,
  probeRead,
  scaleCalibrate,
  scaleMeasure,
  scaleMeasured,
  scaleRead,
  scaleRestore,
  scaleZero,
} from './handlers/calibration';
import { clockSet } from './handlers/clock';
import { countWrite } from './handlers/counts';
import { JournalPages } from './handlers/journal';
import { markSet } from './handlers/marks';
import { noteWrite } from './handlers/notes';
import { matRun, sounderRun } from './handlers/outputs';
import { probeCurve } from './handlers/probe-curve';
import { ProfileLoader } from './handlers/profile';
import { pumpCalibrate, pumpRun, pumpState, pumpStop } from './handlers/pump';
import { stageNext, stageStay } from './handlers/stage';
import { hello, status } from './handlers/status';
import { RECORD_LIMITS } from './limits';
import { createLinkServer, type Handlers } from './link/server';
import { Ticker } from './tick/ticker';

/** A controller on `board`. Outputs are off until the first tick asks for them. */
export function createController(board: Board): Controller {
  return controllerOf(new Ticker(board));
}

/** The controller of a tray that is open. */
export function controllerOf(ticker: Ticker): Controller {
  const { tray } = ticker;
  let nextFaultMs = 0;
  const server = createLinkServer({
    handlers: handlersFor(ticker),
    isEnding: () => ticker.isEnding,
    send: (door, bytes) => {
      // What a reply says was done must outlive a power cut in the same second.
      if (tray.stale) tray.checkpoint();
      tray.board.send(door, bytes);
    },
    onFault: (_where, thrown) => {
      if (tray.uptimeMs < nextFaultMs) return;
      nextFaultMs = tray.uptimeMs + RECORD_LIMITS.faultEveryMs;
      tray.write({ kind: 'fault', code: FAULT.linkHandler, detail: detailOf(thrown) });
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

/** What a handler may need is a part of the ticker; it takes the parts it names. */
function handlersFor(ticker: Ticker): Handlers {
  const loader = new ProfileLoader(ticker);
  const pages = new JournalPages(ticker.tray);
  return {
    'controller.hello': () => hello(ticker.tray),
    'controller.bootDrive': (_params, door) => bootDrive(ticker, door),
    'status.read': () => status(ticker),
    'clock.set': (params) => clockSet(ticker, params),
    'scale.read': () => scaleRead(ticker),
    'scale.measure': (params) => scaleMeasure(ticker, params),
    'scale.measured': () => scaleMeasured(ticker),
    'scale.calibrate': (params) => scaleCalibrate(ticker, params),
    'scale.zero': (params) => scaleZero(ticker, params),
    'scale.history': () => ({ calibrations: ticker.tray.calibrations.scale }),
    'scale.restore': (params) => scaleRestore(ticker, params),
    'probe.read': () => probeRead(ticker),
    'probe.calibrate': (params) => probeCalibrate(ticker, params),
    'probe.curve': (params) => probeCurve(ticker, params),
    'pump.run': (params) => pumpRun(ticker, params),
    'pump.state': () => pumpState(ticker),
    'pump.stop': () => pumpStop(ticker),
    'pump.calibrate': (params) => pumpCalibrate(ticker, params),
    'mat.run': (params) => matRun(ticker, params),
    'sounder.run': (params) => sounderRun(ticker, params),
    'mark.set': (params) => markSet(ticker, params),
    'count.write': (params) => countWrite(ticker, params),
    'note.write': (params) => noteWrite(ticker, params),
    'stage.next': () => stageNext(ticker),
    'stage.stay': (params) => stageStay(ticker, params),
    'alarm.list': () => ({ alarms: alarmReports(ticker.tray) }),
    'alarm.accept': (params) => alarmAccept(ticker, params),
    'alarm.clear': (params) => alarmClear(ticker, params),
    'alarm.shelve': (params) => alarmShelve(ticker, params),
    'profile.slots': () => loader.slots(),
    'profile.begin': (params) => loader.begin(params),
    'profile.chunk': (params) => loader.chunk(params),
    'profile.commit': (params) => loader.commit(params),
    'profile.read': (params) => loader.read(params),
    'journal.info': () => pages.info(),
    'journal.page': (params) => pages.page(params),
  };
}
