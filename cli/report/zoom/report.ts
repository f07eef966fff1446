/** Runs in the page of a report, which carries its plots. It asks nothing of anybody; without it all of them stand as they were. */
import { type SceneData, sceneOf } from './scene-of';
import { partsOfPage, showPlot } from './zoom';

const parts = partsOfPage();
const data = document.getElementById('plot-data');
if (parts !== null && data !== null) {
  // Sound: the page was written with it, by the same program.
  showPlot(parts, sceneOf(JSON.parse(data.textContent ?? '') as SceneData));
}
