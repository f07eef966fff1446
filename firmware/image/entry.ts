/**
 * What the image runs. The script is run by the build, and what it made lies in flash; the runtime then
 * calls `createController` at each start, with the board it provides.
 */
import type { Board } from '../board';
import type { Controller } from '../controller';
import * as firmware from '../main';

declare global {
  var createController: (board: Board) => Controller;
}

globalThis.createController = firmware.createController;
