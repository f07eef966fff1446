/**
 * Stone wool in a tray, and the matting under it: what they hold, what runs into the tray's channels, what drains
 * away.
 */
import {
  capacityWaterMl,
  dryWoolG,
  SOAKED_SHARE,
  type StoneWool,
} from '../../../shared/physics/dry-back';
import { gFromMl } from '../../../shared/physics/water';
import type { Spread } from '../../../shared/profile/profile';

/**
 * A flat of 98 plugs 36 x 36 x 40 mm (Raviv and Lieth, Soilless Culture): dry 355.6 g, 4064 g of
 * water at container capacity, 4826 g soaked.
 */
export const PLUGS: StoneWool = {
  pieces: 98,
  pieceMl: 51.84,
  bulkDensityKgM3: 70,
  capacityShare: 0.8,
};

/** Eight of the usual small blocks, 100 x 100 x 65 mm: what one flat of plugs is moved on to. */
export const BLOCKS: StoneWool = { ...PLUGS, pieces: 8, pieceMl: 650 };

/** What leads water to every piece. It lies under them: it is as wet as they are, and dries with them. */
export type UnderWool = Pick<Spread, 'dryG' | 'holdsMl'>;

export const NOTHING_UNDER: UnderWool = { dryG: 0, holdsMl: 0 };

/** Excess above capacity leaves the wool, and channels empty through the tray's holes, this fast. */
const DRAIN_S = 240;
const CHANNEL_S = 600;
/** Wool with room for it drinks from the channels this fast. */
const UPTAKE_S = 180;
/** Share of a dose that the wool takes as it falls; the rest runs past it. */
const DIRECT_SHARE = 0.95;

/**
 * Dry wool sheds water: below 40 % of capacity (the 60 % hard stop of dry-back) uptake falls, to a
 * quarter when nearly dry (common practice; no source found).
 */
const REWET_FULL_SHARE = 0.4;
const REWET_POOR_SHARE = 0.1;
const REWET_POOREST = 0.25;

/** Water that the tray's channels and floor can hold before it runs over, g: a flood of 5 mm. */
export const CHANNEL_CAPACITY_G = 650;

/**
 * What wool keeps against 30 cm of suction, share of capacity: 0.05 to 0.15 of its volume, by da Silva et al. 1995 as
 * remembered; no print of it was found, and makes of wool differ by 0.1.
 */
const WICKED_SHARE = 0.19;

/** Below this the channels count as empty, g. */
const TRACE_G = 1e-3;

/** All masses in g. Mass in = held + channels + drained + taken, exactly but for rounding. */
export class Wool {
  dryG = 0;
  capacityG = 0;
  saturatedG = 0;
  /** Share of the water that is in the pieces; the rest is dead water under them. */
  private piecesShare = 1;
  heldG = 0;
  /** Water standing in the tray's channels: still on the scale. */
  channelG = 0;
  /** Water that left through the holes into the drip tray: off the scale. */
  drainedG = 0;

  constructor(
    medium: StoneWool,
    private readonly under: UnderWool = NOTHING_UNDER,
  ) {
    this.setMedium(medium);
  }

  /** Other wool in the tray; the water in it stays as it is until the caller says otherwise. */
  setMedium(medium: StoneWool): void {
    const { dryG, holdsMl } = this.under;
    const piecesG = gFromMl(capacityWaterMl(medium));
    const underG = gFromMl(holdsMl);
    this.dryG = dryWoolG(medium) + dryG;
    this.capacityG = piecesG + underG;
    this.saturatedG = gFromMl(capacityWaterMl({ ...medium, capacityShare: SOAKED_SHARE })) + underG;
    this.piecesShare = piecesG / this.capacityG;
  }

  /** Pieces go, with the water in them: `medium` stays, on what lies under it. Returns the water that went, g. */
  keep(medium: StoneWool): number {
    const { share, heldG } = this;
    this.setMedium(medium);
    this.heldG = share * this.capacityG;
    return heldG - this.heldG;
  }

  /** Water that is in the pieces themselves, g. */
  get inPiecesG(): number {
    return this.heldG * this.piecesShare;
  }

  /** Water held, as a share of container capacity. */
  get share(): number {
    return this.heldG / this.capacityG;
  }

  /** Share of offered water that wool this dry takes, 0.25..1. */
  get uptakeShare(): number {
    const wetness = (this.share - REWET_POOR_SHARE) / (REWET_FULL_SHARE - REWET_POOR_SHARE);
    return REWET_POOREST + (1 - REWET_POOREST) * Math.min(1, Math.max(0, wetness));
  }

  /** One step of at most ten seconds with `inG` grams of water coming in from above. */
  step(dtS: number, inG: number): void {
    if (inG > 0) this.take(inG);
    const excessG = this.heldG - this.capacityG;
    if (excessG > 0) {
      const outG = excessG < TRACE_G ? excessG : (excessG * dtS) / DRAIN_S;
      this.heldG -= outG;
      this.channelG += outG;
    }
    if (this.channelG > 0) this.stepChannels(dtS, -excessG);
  }

  private take(inG: number): void {
    const wantedG = inG * DIRECT_SHARE * this.uptakeShare;
    const tookG = Math.min(wantedG, Math.max(0, this.saturatedG - this.heldG));
    this.heldG += tookG;
    this.channelG += inG - tookG;
    this.overflow();
  }

  /** What neither wool nor channels hold runs over the rim into the drip tray at once. */
  private overflow(): void {
    const overG = this.channelG - CHANNEL_CAPACITY_G;
    if (overG <= 0) return;
    this.channelG = CHANNEL_CAPACITY_G;
    this.drainedG += overG;
  }

  private stepChannels(dtS: number, roomG: number): void {
    if (roomG > 0) {
      const drunkG = Math.min(roomG, (this.channelG * this.uptakeShare * dtS) / UPTAKE_S);
      this.heldG += drunkG;
      this.channelG -= drunkG;
    }
    const outG = this.channelG < TRACE_G ? this.channelG : (this.channelG * dtS) / CHANNEL_S;
    this.channelG -= outG;
    this.drainedG += outG;
  }

  /**
   * Leaks up to `g` grams, channels first (a leak is at the lowest point), then what the wool holds over
   * container capacity; returns what ran out. The rest is held by capillarity and stays.
   */
  lose(g: number): number {
    return this.draw(g, this.capacityG);
  }

  /** A cloth over the rim, hanging 30 cm: takes up to `g` grams, until the wool holds as hard as it draws. */
  wick(g: number): number {
    return this.draw(g, WICKED_SHARE * this.capacityG);
  }

  private draw(g: number, leavesG: number): number {
    const fromChannelG = Math.min(g, this.channelG);
    const fromWoolG = Math.min(g - fromChannelG, Math.max(0, this.heldG - leavesG));
    this.channelG -= fromChannelG;
    this.heldG -= fromWoolG;
    return fromChannelG + fromWoolG;
  }
}
