/** Plots that the page's script zooms; without it, and on paper, all of them stand there. Pure. */
import { dataBlock, html, type Markup } from '../html';
import { type SceneData, sceneOf } from '../zoom/scene-of';

/** Width that they are drawn in for paper, and for readers without a script, px. */
const STATIC_PX = 920;

/** `part`: what the button of a part says; `still`: what the drawing is called while it cannot be zoomed. */
export function zoomable(
  data: SceneData,
  { part, still }: { readonly part: string; readonly still: string },
): Markup {
  const scene = sceneOf(data);
  return html`<div class="controls" id="controls" hidden>
<button type="button" data-do="in">Zoom in</button><button type="button" data-do="out">Zoom out</button><button type="button" data-do="earlier">Earlier</button><button type="button" data-do="later">Later</button><button type="button" data-do="part">${part}</button><button type="button" data-do="whole">All</button>
</div>
<output class="readout quiet" id="readout" hidden></output>
<div class="drawing static" id="drawing" tabindex="0" role="region" aria-label="${still}">${scene.draw({ ...scene.whole, widthPx: STATIC_PX })}</div>
<script type="application/json" id="plot-data">${dataBlock(data)}</script>`;
}
