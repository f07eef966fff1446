/** The flash as storage sees it: read, program inside a page, erase a sector. Nothing else. */
import type { Board } from '../board';

export type FlashAccess = Pick<Board, 'flashRead' | 'flashProgram' | 'flashErase'>;
