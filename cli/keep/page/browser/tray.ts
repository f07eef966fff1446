/** Runs in the page of a tray: its news, its plot, and what is told. */
import type { Plot } from '../../../report/plot/model';
import { seasonScene } from '../../../report/zoom/season';
import { type PlotOnScreen, partsOfPage, showPlot } from '../../../report/zoom/zoom';
import { listenToButtons } from './acts';
import { follow, works } from './live';

/** The plot on the screen, fetched anew whenever the page says that there is another one. */
class LivePlot {
  #shown: PlotOnScreen | null = null;
  #at = '';

  async look(): Promise<void> {
    const at = document.querySelector('#plot-at data')?.getAttribute('value') ?? '';
    const parts = partsOfPage();
    if (at === '' || at === this.#at || parts === null) return;
    this.#at = at;
    const answer = await fetch(at).catch(() => null);
    // Sound: the keeper has written it, by the same program.
    const plot = answer?.ok === true ? ((await answer.json()) as Plot | null) : null;
    if (plot === null) this.#at = '';
    else if (this.#shown === null) this.#shown = showPlot(parts, seasonScene(plot), 'part');
    else this.#shown.update(seasonScene(plot));
  }
}

if (works()) {
  const plot = new LivePlot();
  listenToButtons();
  follow((ids) => {
    if (ids.includes('plot-at')) void plot.look();
  });
  void plot.look();
}
