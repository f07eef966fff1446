/** What the image runs: the controller on the board that the runtime provides as a global. */
import type { Board } from '../board';
import type { Controller } from '../controller';
import { createController } from '../main';

declare const board: Board;
declare global {
  var controller: Controller;
}

globalThis.controller = createController(board);
