/**
 * What the tick writes down: a reading every few minutes, a dense record around each alarm, and the
 * checkpoint that lets a power cut cost no more than that. One within ten seconds of an alarm costs the rest of
 * its dense record as well.
 */
import { withProbeFields } from '../../shared/board/probes';
import { OUTPUT } from '../../shared/board/words';
import type { JournalBody } from '../../shared/journal/kinds';
import { RECORD_LIMITS as LIMITS } from '../limits';
import type { Tray } from '../tray/tray';
import type { Senses } from './senses';

type Sample = Extract<JournalBody, { kind: 'reading' | 'trace' }>;

interface Dated {
  readonly uptimeMs: number;
  readonly sample: Sample;
}

/** What is written down of one tray, and when next. */
export class Recorder {
  #dutyShare = 0;
  #readingMs = 0;
  #matOnMs = 0;
  #sinceMs = 0;
  #checkpointMs = 0;
  #sampleMs = 0;
  /** Samples not yet written, oldest first, for an alarm that may come. */
  #samples: Dated[] = [];
  /** Of the minutes before an alarm, still to be written: a few a tick, because a tick must not take long. */
  #owed: Dated[] = [];
  #denseUntilMs = 0;
  #denseAgainMs = 0;
  #alarmed = false;

  constructor(
    readonly tray: Tray,
    readonly senses: Senses,
  ) {
    tray.whenRaised(() => {
      this.#alarmed = true;
    });
  }

  /** Mat duty since the last reading, 0..1, as the last reading told. */
  get dutyShare(): number {
    return this.#dutyShare;
  }

  /** Last part of a tick. */
  tick(dtMs: number): void {
    const { tray } = this;
    const { uptimeMs } = tray;
    this.#sinceMs += dtMs;
    if ((this.senses.outputs & OUTPUT.matOn) !== 0) this.#matOnMs += dtMs;
    if (uptimeMs >= this.#sampleMs) this.#takeSample(uptimeMs);
    if (this.#alarmed) this.#beginDense(uptimeMs);
    else if (this.#owed.length > 0) this.#writeOwed();
    const reads = uptimeMs >= this.#readingMs;
    if (reads) {
      this.#readingMs = nextMultiple(uptimeMs, LIMITS.readingMs);
      this.#dutyShare = this.#sinceMs > 0 ? this.#matOnMs / this.#sinceMs : 0;
      tray.write(this.#sample('reading'));
      this.#matOnMs = 0;
      this.#sinceMs = 0;
    }
    // A checkpoint that nothing has made urgent waits for a tick that writes no reading: both are the longest ticks.
    if (tray.stale || (!reads && uptimeMs >= this.#checkpointMs)) {
      this.#checkpointMs = uptimeMs + LIMITS.checkpointMs;
      tray.checkpoint();
    }
  }

  #takeSample(uptimeMs: number): void {
    this.#sampleMs = nextMultiple(uptimeMs, LIMITS.traceMs);
    const sample = this.#sample('trace');
    if (uptimeMs < this.#denseUntilMs) {
      this.tray.write(sample);
      return;
    }
    this.#samples.push({ uptimeMs, sample });
    if (this.#samples.length > LIMITS.traceBefore) this.#samples.shift();
  }

  #writeOwed(): void {
    for (const { sample, uptimeMs } of this.#owed.splice(0, LIMITS.owedATick)) {
      this.tray.write(sample, uptimeMs);
    }
  }

  /** The minutes before the alarm go to the journal from the next tick on, those after it as they come. */
  #beginDense(uptimeMs: number): void {
    this.#alarmed = false;
    if (uptimeMs < this.#denseAgainMs) return;
    this.#denseAgainMs = uptimeMs + LIMITS.traceEveryMs;
    this.#denseUntilMs = uptimeMs + LIMITS.traceAfterMs;
    this.#owed = this.#samples;
    this.#samples = [];
  }

  #sample(kind: 'reading' | 'trace'): Sample {
    const { senses } = this;
    const { probes, scale, dryBackShare, outputs } = senses;
    const sample = {
      kind,
      trayG: scale.grams,
      dryBackShare,
      matDutyShare: this.#sinceMs > 0 ? this.#matOnMs / this.#sinceMs : this.#dutyShare,
      outputs,
      stage: this.tray.run.progress.stage,
      spreadG: scale.spreadG,
    };
    return withProbeFields(sample, 'celsius', (name) => probes[name].celsius);
  }
}

function nextMultiple(uptimeMs: number, stepMs: number): number {
  return (Math.floor(uptimeMs / stepMs) + 1) * stepMs;
}
