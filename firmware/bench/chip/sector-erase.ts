/**
 * The sector erase of a flash chip. It goes on by itself, and knows nothing of what becomes of the processor; some chips can be
 * told to suspend it, and have all other sectors read meanwhile (W25Q16JV data sheet, section 8, Erase / Program Suspend
 * and Resume; W25Q32BV's says how soon after a resume). What is left of a power cut is the flash's own.
 */
import type { FlashAccess } from '../../storage/flash-access';
import { PowerCut } from '../flash';
import { ImageError } from './bus';
import { type FlashTimes, SUSPEND_US } from './rom';

const NANOS_PER_MS = 1e6;
const NANOS_PER_US = 1e3;
/** From a resume to the next suspend, at least (tSUS). */
const BETWEEN_SUSPENDS_NANOS = SUSPEND_US * NANOS_PER_US;

type State =
  | { readonly kind: 'idle' }
  | {
      readonly kind: 'busy';
      /** Of its sector. */
      readonly offset: number;
      readonly sinceNanos: number;
      readonly endsNanos: number;
      /** When it will have been suspended; Infinity: nobody has asked. */
      readonly suspendsNanos: number;
    }
  | { readonly kind: 'suspended'; readonly offset: number; readonly leftNanos: number };

const IDLE: State = { kind: 'idle' };

export class SectorErase {
  private state: State = IDLE;

  /** `nowNanos`: of a clock that no restart turns back. */
  constructor(
    private readonly flash: Pick<FlashAccess, 'flashErase'>,
    private readonly times: FlashTimes,
    private readonly nowNanos: () => number,
  ) {}

  get isBusy(): boolean {
    return this.now().kind === 'busy';
  }

  get isSuspended(): boolean {
    return this.suspendedOffset !== null;
  }

  /** Of the sector whose erase is suspended: what a read of it gives, nobody says. Null: none is. */
  get suspendedOffset(): number | null {
    const state = this.now();
    return state.kind === 'suspended' ? state.offset : null;
  }

  /** When it ends, if nobody suspends it. */
  get busyUntilNanos(): number {
    const state = this.now();
    return state.kind === 'busy' ? state.endsNanos : Number.NEGATIVE_INFINITY;
  }

  /** `elapse` lets time pass: a power cut comes in the middle. Throws `PowerCut`, as the flash does. */
  begin(offset: number, elapse: (nanos: number) => void): void {
    if (this.now().kind !== 'idle')
      throw new ImageError('Flash erase in the middle of another one.');
    const nanos = this.times.eraseSectorMs * NANOS_PER_MS;
    try {
      this.flash.flashErase(offset);
    } catch (error) {
      if (error instanceof PowerCut) elapse(nanos / 2);
      throw error;
    }
    this.goOn(offset, nanos);
  }

  suspend(): void {
    const state = this.now();
    if (!this.times.suspends || state.kind !== 'busy') return;
    const now = this.nowNanos();
    if (now - state.sinceNanos < BETWEEN_SUSPENDS_NANOS) {
      throw new ImageError('Flash erase suspended as soon as it was begun or resumed.');
    }
    this.state = {
      ...state,
      suspendsNanos: now + (this.times.suspendUs ?? SUSPEND_US) * NANOS_PER_US,
    };
  }

  resume(): void {
    const state = this.now();
    if (state.kind === 'suspended') this.goOn(state.offset, state.leftNanos);
  }

  /** Without its supply the chip forgets that it was at it. */
  losePower(): void {
    this.state = IDLE;
  }

  private goOn(offset: number, nanos: number): void {
    const now = this.nowNanos();
    this.state = {
      kind: 'busy',
      offset,
      sinceNanos: now,
      endsNanos: now + nanos,
      suspendsNanos: Number.POSITIVE_INFINITY,
    };
  }

  private now(): State {
    const { state } = this;
    if (state.kind !== 'busy') return state;
    const { offset, endsNanos, suspendsNanos } = state;
    const now = this.nowNanos();
    if (now >= Math.min(endsNanos, suspendsNanos)) {
      this.state =
        endsNanos <= suspendsNanos
          ? IDLE
          : { kind: 'suspended', offset, leftNanos: endsNanos - suspendsNanos };
    }
    return this.state;
  }
}
