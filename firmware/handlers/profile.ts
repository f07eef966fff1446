/** Profiles over the link: into the idle slot in chunks, checked as a whole, switched in one record. */
import { crc32, fromBase64, toBase64 } from '../../shared/bytes';
import { NO_STAGE } from '../../shared/journal/kinds';
import { LINK_LIMITS, type Params, type Result } from '../../shared/link/methods';
import { decodeProfile } from '../../shared/profile/image';
import { assert } from '../assert';
import { Refusal, refuse } from '../link/refusal';
import { reportedStage } from '../tick/staging';
import type { Ticker } from '../tick/ticker';
import type { Tray } from '../tray/tray';

interface Upload {
  readonly slot: number;
  readonly bytes: number;
  readonly crc: number;
  next: number;
}

/** One load of a profile at a time, and what the slots hold. A load under way is lost at a restart. */
export class ProfileLoader {
  #upload: Upload | null = null;

  readonly #ticker: Ticker;
  readonly #tray: Tray;

  constructor(ticker: Ticker) {
    this.#ticker = ticker;
    this.#tray = ticker.tray;
  }

  /** Both slots: what profile is in each, and which one runs. */
  slots(): Result<'profile.slots'> {
    const { slots, run, profile } = this.#tray;
    return {
      slots: [0, 1].map((slot) => {
        const image = slots.load(slot);
        const decoded = image === null ? null : decodeProfile(image);
        return {
          slot: slot,
          active: profile !== null && slot === run.program.slot,
          id: decoded?.ok === true ? decoded.id : null,
          bytes: image?.length ?? 0,
        };
      }),
    };
  }

  /** Empties the idle slot for an image. Refuses `slot-failing`. */
  begin({ bytes, crc }: Params<'profile.begin'>): Result<'profile.begin'> {
    const slot = this.#tray.profile === null ? 0 : 1 - this.#tray.run.program.slot;
    if (!this.#tray.slots.begin(slot, bytes)) refuse('slot-failing');
    this.#upload = { slot, bytes, crc, next: 0 };
    return { slot: slot };
  }

  /** Writes the next piece; one that was written is answered only. Refuses `chunk-out-of-order`. */
  chunk({ offset, data }: Params<'profile.chunk'>): Result<'profile.chunk'> {
    const upload = this.#openUpload();
    if (offset < upload.next) return { next: upload.next };
    const bytes = fromBase64(data);
    if (bytes === null || offset > upload.next || offset + bytes.length > upload.bytes)
      refuse('chunk-out-of-order', upload.next);
    if (!this.#tray.slots.write(upload.slot, offset, bytes)) refuse('slot-failing');
    upload.next = offset + bytes.length;
    return { next: upload.next };
  }

  /**
   * Checks the whole image as a stranger would, then switches slot and stage in one record. Refuses
   * `image-incomplete`, `image-damaged`, `no-such-stage`, what `decodeProfile` has against it, and
   * `storage-failing` where that record could not be written: then the old profile runs on.
   */
  commit({ id, stage }: Params<'profile.commit'>): Result<'profile.commit'> {
    const tray = this.#tray;
    const upload = this.#openUpload();
    if (upload.next < upload.bytes) refuse('image-incomplete', upload.next, upload.bytes);
    const image = new Uint8Array(upload.bytes);
    tray.slots.read(upload.slot, 0, image);
    const decoded = decodeProfile(image);
    const whole = crc32(image) === upload.crc;
    if (!whole || !decoded.ok || decoded.id !== id) {
      tray.write(profileEntry(tray, 'refused', upload.slot, id, tray.run.progress.stage));
      if (decoded.ok) refuse('image-damaged');
      throw new Refusal(decoded.reason, decoded.facts);
    }
    const { profile } = decoded;
    if (stage !== null && stage >= profile.stages.length)
      refuse('no-such-stage', profile.stages.length);
    const next = !tray.sown ? NO_STAGE : (stage ?? 0);
    assert(next === NO_STAGE || profile.stages[next] !== undefined, 'stage-of-profile');
    if (!tray.slots.seal(upload.slot, upload.bytes, upload.crc)) refuse('slot-failing');
    const goBack = this.#rememberRun();
    const stageBefore = tray.run.progress.stage;
    tray.write(profileEntry(tray, 'loaded', upload.slot, id, next));
    tray.useProfile(profile, decoded.id, upload.slot);
    this.#ticker.staging.spoken();
    const sameStage = tray.sown && next === tray.run.progress.stage && stage !== null;
    if (tray.sown && !sameStage) {
      const state = { index: next, runMs: 0, staying: false };
      this.#ticker.staging.enter({ state, reason: 'profile-loaded' });
    }
    this.#upload = null;
    if (!tray.checkpoint()) {
      // Undone, or the board would run until the next power cut what it does not remember after it.
      tray.write(profileEntry(tray, 'refused', upload.slot, id, stageBefore));
      goBack();
      refuse('storage-failing');
    }
    return { id: decoded.id, slot: upload.slot, stage: reportedStage(tray.run.progress.stage) };
  }

  /** A piece of the image in a slot from `offset` on; empty behind its end. */
  read({ slot, offset }: Params<'profile.read'>): Result<'profile.read'> {
    const bytes = this.#tray.slots.size(slot);
    const length = Math.max(0, Math.min(LINK_LIMITS.profileChunkBytes, bytes - offset));
    const chunk = new Uint8Array(length);
    if (length > 0) this.#tray.slots.read(slot, offset, chunk);
    return { data: toBase64(chunk), bytes: bytes };
  }

  /** The way back to the run as it is now. */
  #rememberRun(): () => void {
    const tray = this.#tray;
    const { staging, watering } = this.#ticker;
    const { profile } = tray;
    const { profileId, slot } = tray.run.program;
    const progress = staging.saved();
    const given = watering.saved();
    return () => {
      tray.useProfile(profile, profileId, slot);
      staging.restore(progress);
      watering.restore(given);
    };
  }

  #openUpload(): Upload {
    if (this.#upload === null) refuse('no-load-open');
    return this.#upload;
  }
}

function profileEntry(
  tray: Tray,
  action: 'loaded' | 'refused',
  slot: number,
  profileId: number,
  stageAfter: number,
) {
  const stageBefore = tray.run.progress.stage;
  return { kind: 'profile', action, slot, profileId, stageBefore, stageAfter } as const;
}
