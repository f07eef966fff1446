/** What a run of the swarm will do, drawn before it begins: plain data, so that it can be printed, replayed and shrunk. */
import type { FaultName } from '../../firmware/bench/faults';
import type { HandActionName } from '../../firmware/bench/hand-actions';
import type { ResetCause } from '../../shared/board/words';
import type { CropFileName } from '../../shared/profile/host/crops';
import type { LidPlace, Mark, Profile } from '../../shared/profile/profile';

/** One thing that happens. Times without a name are minutes. */
export type Happening =
  /** `value` as `trayward bench hand` takes it: g, ml or s. */
  | { readonly kind: 'hand'; readonly action: HandActionName; readonly value?: number }
  | { readonly kind: 'lid'; readonly place: LidPlace }
  | { readonly kind: 'fault'; readonly fault: FaultName; readonly forMin: number }
  | { readonly kind: 'mark'; readonly mark: Mark; readonly volumeMl?: number }
  /** The laptop sets the board's clock, wrong by so much; 0 is right. */
  | { readonly kind: 'clock'; readonly wrongByMin: number }
  | { readonly kind: 'restart'; readonly cause: ResetCause }
  /** The power goes in the middle of the so many-th write from now, and comes back after a while. */
  | { readonly kind: 'cut-in-write'; readonly writes: number; readonly forMin: number }
  /** A sector of flash refuses every write for a while. */
  | { readonly kind: 'worn-flash'; readonly offset: number; readonly forMin: number }
  /** Soaked, drained and marked: what the advice asks for. */
  | { readonly kind: 'soak-and-mark' }
  /** Feed of the stage's EC to the top, and told. */
  | { readonly kind: 'refill-and-mark' }
  | { readonly kind: 'recalibrate'; readonly massG: number }
  /** The grower does what the advice for each alarm says. */
  | { readonly kind: 'round' }
  | { readonly kind: 'next-stage' };

/** Minutes after the tray was put into service. */
export type PlanEvent = Happening & { readonly atMin: number };

/** Time enough for a dose, as long as an outing. */
export const STOP_MIN = 30;

export interface Plan {
  /** Decides noise, weather and what parts of one make differ by. */
  readonly seed: number;
  readonly crop: CropFileName;
  /** Null: the crop's profile as shipped. */
  readonly profile: Profile | null;
  readonly room: { readonly meanC: number; readonly swingK: number };
  /** Empty tray, g. */
  readonly trayG: number;
  /** Stages that the grower skips at the start: seedlings from elsewhere. */
  readonly skipStages: number;
  readonly events: readonly PlanEvent[];
  /** Every cause ends then, and the grower follows the advice. */
  readonly putRightMin: number;
  /** Then it dries in a warm place beside its scale, and stands on that for so long between two outings. */
  readonly stopMin: number;
  /** For so long afterwards heat and water have to be what they should. */
  readonly recoverMin: number;
}

/** What was not as promised. */
export interface Breach {
  readonly promise: string;
  readonly atMin: number;
  readonly says: string;
}

export interface Outcome {
  readonly breaches: readonly Breach[];
  readonly trayDays: number;
  /** Of the board. */
  readonly starts: number;
}
