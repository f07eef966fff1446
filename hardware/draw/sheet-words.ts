/** Short ways to write where things stand on a sheet. Millimetres. */
import type { PinRef } from '../circuit/kinds';
import type { Flag } from './flags';
import type { PinPlacing } from './schematic';
import type { Point } from './svg';
import type { Placing, Way } from './symbols';

export const at = (x: number, y: number): Point => ({ x, y });
export const put = (x: number, y: number, way: Way = 'down', label?: Placing['label']): Placing =>
  label === undefined ? { at: at(x, y), way } : { at: at(x, y), way, label };
export const pin = (name: PinRef, x: number, y: number, label?: PinPlacing['label']): PinPlacing =>
  label === undefined ? { pin: name, at: at(x, y) } : { pin: name, at: at(x, y), label };
export const flag = (net: string, x: number, y: number, way: Flag['way'], words: string): Flag => ({
  net,
  at: at(x, y),
  way,
  words,
});

export const below = { x: 0, y: 4.6 };
export const toRight = { x: 2.2, y: 0.9, anchor: 'start' as const };
export const toLeft = { x: -2.2, y: 0.9, anchor: 'end' as const };
