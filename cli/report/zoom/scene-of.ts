/** The scene of what a page carries as data. Pure. */
import type { Pair } from '../compare/pair';
import type { Fan } from '../fan/model';
import type { Plot } from '../plot/model';
import { fanScene } from './fan';
import { pairScene } from './pair';
import type { Scene } from './scene';
import { seasonScene } from './season';

export type SceneData =
  | { readonly kind: 'season'; readonly plot: Plot }
  | { readonly kind: 'pair'; readonly pair: Pair }
  | { readonly kind: 'fan'; readonly fan: Fan };

export function sceneOf(data: SceneData): Scene {
  switch (data.kind) {
    case 'season':
      return seasonScene(data.plot);
    case 'pair':
      return pairScene(data.pair);
    case 'fan':
      return fanScene(data.fan);
  }
}
