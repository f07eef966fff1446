/** Into the boot drive, for another image. */
import { DOOR, type Door } from '../../shared/board/map';
import type { Result } from '../../shared/link/methods';
import { refuse } from '../link/refusal';
import type { Ticker } from '../tick/ticker';
import { keptOrRefuse } from './kept';

/**
 * Switches all off at once, and leaves for the boot drive when this is answered. Refuses `usb-alone`, for whoever asks at
 * another door may not see the drive; `pump-busy` while a dose is under way; `storage-failing`.
 */
export function bootDrive(ticker: Ticker, door: Door): Result<'controller.bootDrive'> {
  const { tray, watering } = ticker;
  if (door !== DOOR.usb) refuse('usb-alone');
  if (watering.dose.phase !== 'idle') refuse('pump-busy');
  keptOrRefuse(tray.checkpoint());
  tray.write({ kind: 'boot-drive' });
  ticker.leaveForBootDrive();
  return { uptimeMs: tray.uptimeMs };
}
