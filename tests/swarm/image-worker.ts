/** A worker thread of the swarm on the image: seeds come in with the image, outcomes go out. */
import { parentPort } from 'node:worker_threads';
import { drawImagePlan } from './image-plan';
import { type RunnableImage, runOnImage } from './on-image';
import type { Outcome } from './plan';

export interface ImageTask {
  readonly seed: number;
  readonly image: RunnableImage;
}

export interface ImageDone {
  readonly seed: number;
  readonly events: number;
  readonly outcome: Outcome;
}

parentPort?.on('message', ({ seed, image }: ImageTask) => {
  const plan = drawImagePlan(seed);
  const outcome = runOnImage(plan, image);
  parentPort?.postMessage({ seed, events: plan.events.length, outcome } satisfies ImageDone);
});
