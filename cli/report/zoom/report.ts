/** Runs in the page of a report, which carries its plot. It asks nothing of anybody; without it the whole plot stands as it was. */
import type { Plot } from '../plot/model';
import { partsOfPage, showPlot } from './zoom';

const parts = partsOfPage();
const data = document.getElementById('plot-data');
// Sound: the page was written with it, by the same program.
if (parts !== null && data !== null) showPlot(parts, JSON.parse(data.textContent ?? '') as Plot);
