/** A flash chip whose power goes in the middle of an operation of a chosen kind. */
import { PowerCut, SimulatedFlash } from '../../firmware/bench/flash';
import { FLASH_MAP, type FlashRegion } from '../../shared/board/map';

export const KEPT_THINGS = ['journal', 'settings', 'profile'] as const;
export type KeptThing = (typeof KEPT_THINGS)[number];
export const OPERATIONS = ['program', 'erase'] as const;
export type Operation = (typeof OPERATIONS)[number];

/** Cut at the `nth` operation of this kind from now. */
export interface CutPlan {
  readonly thing: KeptThing;
  readonly operation: Operation;
  readonly nth: number;
}

/** A cut as it happened. */
export interface Cut {
  readonly thing: KeptThing;
  readonly operation: Operation;
  readonly offset: number;
  /** Everything on the chip before the operation, had it been completed, and as the cut left it. */
  readonly before: Uint8Array;
  readonly completed: Uint8Array;
  readonly torn: Uint8Array;
}

const inside = ({ offset, bytes }: FlashRegion, at: number): boolean =>
  at >= offset && at < offset + bytes;

function thingAt(offset: number): KeptThing {
  if (inside(FLASH_MAP.journal, offset)) return 'journal';
  return inside(FLASH_MAP.settings, offset) ? 'settings' : 'profile';
}

export class CutFlash extends SimulatedFlash {
  private plan: CutPlan | null = null;
  private left = 0;
  private happened: Cut | null = null;

  arm(plan: CutPlan): void {
    this.plan = plan;
    this.left = plan.nth;
    this.happened = null;
  }

  /** The cut since `arm`, or null while the power is still on. */
  get cut(): Cut | null {
    return this.happened;
  }

  override flashProgram(offset: number, bytes: Uint8Array): boolean {
    return this.perhapsCut(
      'program',
      offset,
      (flash) => flash.flashProgram(offset, bytes),
      () => super.flashProgram(offset, bytes),
    );
  }

  override flashErase(offset: number): boolean {
    return this.perhapsCut(
      'erase',
      offset,
      (flash) => flash.flashErase(offset),
      () => super.flashErase(offset),
    );
  }

  private perhapsCut(
    operation: Operation,
    offset: number,
    complete: (flash: SimulatedFlash) => void,
    perform: () => boolean,
  ): boolean {
    const { plan } = this;
    const thing = thingAt(offset);
    if (plan === null || plan.thing !== thing || plan.operation !== operation) return perform();
    this.left -= 1;
    if (this.left > 0) return perform();
    this.plan = null;
    const before = this.bytes.slice();
    const whole = new SimulatedFlash({ contents: before });
    complete(whole);
    this.cutPowerAt(1);
    try {
      return perform();
    } catch (error) {
      if (!(error instanceof PowerCut)) throw error;
      this.happened = {
        thing,
        operation,
        offset,
        before,
        completed: whole.bytes,
        torn: this.bytes.slice(),
      };
      throw error;
    }
  }
}
