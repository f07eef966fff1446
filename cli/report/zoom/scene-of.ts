/** The scene of what a page carries as data. Pure. */
import type { Pair } from '../compare/pair';
import type { Plot } from '../plot/model';
import { pairScene } from './pair';
import type { Scene } from './scene';
import { seasonScene } from './season';

export type SceneData =
  | { readonly kind: 'season'; readonly plot: Plot }
  | { readonly kind: 'pair'; readonly pair: Pair };

export const sceneOf = (data: SceneData): Scene =>
  data.kind === 'season' ? seasonScene(data.plot) : pairScene(data.pair);
