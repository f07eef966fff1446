/**
 * Draws the stretch of the plots that its reader asks for, by buttons, keys, wheel or fingers, at the width of the
 * screen. On paper the whole plot stands.
 */
import { acrossOf, type View } from '../plot/axes';
import type { Scene } from './scene';
import { type Act, isAct, Shown } from './shown';

/** One notch of a wheel zooms by so much. */
const WHEEL_STEP = 1.25;
/** Wider than any screen would only blur lines, narrower than this nothing can be read, px. */
const WIDTH_PX = { least: 300, most: 1_150 } as const;
/** A finger that moves less than this has only touched, px. */
const DRAG_PX = 6;
/** Width that the plot is drawn in for paper, px. */
const PAPER_PX = 920;

/** What the page has for it. */
export interface Parts {
  readonly drawing: HTMLElement;
  readonly controls: HTMLElement;
  readonly readout: HTMLElement;
}

/** The plots on the screen. */
class Screen {
  #waiting = false;

  constructor(
    private readonly parts: Parts,
    private readonly shown: Shown,
  ) {}

  get view(): View {
    const { from, to } = this.shown;
    const { clientWidth } = this.parts.drawing;
    const widthPx = Math.max(WIDTH_PX.least, Math.min(WIDTH_PX.most, clientWidth));
    return { from, to, widthPx };
  }

  /** Draws anew before the screen is painted next, once. */
  redraw(): void {
    if (this.#waiting) return;
    this.#waiting = true;
    requestAnimationFrame(() => this.draw());
  }

  draw(): void {
    this.#waiting = false;
    const { drawing } = this.parts;
    const focused = document.activeElement?.getAttribute('href') ?? null;
    drawing.innerHTML = this.shown.scene.draw(this.view).text;
    // Drawn anew, the mark that had the keyboard has it still.
    const mark = focused === null ? null : drawing.querySelector(`a[href="${focused}"]`);
    if (mark instanceof SVGElement) mark.focus();
    this.point(this.shown.at);
  }

  /** The line under the pointer, and what was read there. */
  point(at: number | null): void {
    const { drawing, readout } = this.parts;
    this.shown.at = at;
    readout.textContent = this.shown.text;
    const line = drawing.querySelector('.cursor');
    const x = String(acrossOf(this.view)(at ?? 0));
    line?.setAttribute('x1', x);
    line?.setAttribute('x2', x);
    line?.setAttribute('visibility', at === null ? 'hidden' : 'visible');
  }

  /** Minute under a place of the screen. */
  minuteAt(clientX: number): number {
    const { left, width } = this.parts.drawing.getBoundingClientRect();
    const { view } = this;
    const minute = acrossOf(view).invert(((clientX - left) * view.widthPx) / width);
    return Math.min(view.to, Math.max(view.from, minute));
  }
}

/** Buttons, keys, and a wheel with a key held: a bare one scrolls the page. */
function listenToKeys({ drawing, controls }: Parts, shown: Shown, screen: Screen): void {
  controls.addEventListener('click', ({ target }) => {
    const what = target instanceof HTMLElement ? target.dataset.do : undefined;
    if (!isAct(what)) return;
    shown.act(what);
    screen.redraw();
  });
  drawing.addEventListener('keydown', (event) => {
    const what = KEYS[event.key];
    if (what === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    shown.act(what);
    screen.redraw();
  });
  drawing.addEventListener(
    'wheel',
    (event) => {
      if (!event.ctrlKey && !event.shiftKey) return;
      event.preventDefault();
      const back = (event.deltaY || event.deltaX) > 0;
      shown.zoom(back ? 1 / WHEEL_STEP : WHEEL_STEP, screen.minuteAt(event.clientX));
      screen.redraw();
    },
    { passive: false },
  );
}

/** Pointing shows the values there, dragging moves. */
function listenToPointer({ drawing }: Parts, shown: Shown, screen: Screen): void {
  let drag: { readonly x: number; readonly from: number } | null = null;
  let dragged = false;
  drawing.addEventListener('pointerdown', ({ clientX }) => {
    drag = { x: clientX, from: shown.from };
    dragged = false;
  });
  drawing.addEventListener('pointermove', ({ clientX, buttons }) => {
    if (drag === null || buttons !== 1) {
      screen.point(screen.minuteAt(clientX));
      return;
    }
    const by = clientX - drag.x;
    dragged ||= Math.abs(by) > DRAG_PX;
    if (!dragged) return;
    const length = shown.to - shown.from;
    shown.show(length, drag.from - (by / drawing.clientWidth) * length, 0);
    screen.redraw();
  });
  drawing.addEventListener('pointerup', ({ clientX }) => {
    drag = null;
    if (!dragged) screen.point(screen.minuteAt(clientX));
  });
  drawing.addEventListener('pointercancel', () => {
    drag = null;
  });
  drawing.addEventListener('pointerleave', ({ pointerType }) => {
    drag = null;
    // A finger that is lifted leaves as well: what it pointed at is to be read.
    if (pointerType === 'mouse') screen.point(null);
  });
  // Nobody is led anywhere by dragging over a mark.
  drawing.addEventListener('click', (event) => {
    if (dragged) event.preventDefault();
  });
}

/** A plot on the screen, which goes on. */
export interface PlotOnScreen {
  /** Draws another one in its place; who looked at its end still does. */
  update(scene: Scene): void;
}

/** What the page has for a plot; null where it has none. */
export function partsOfPage(): Parts | null {
  const [drawing, controls, readout] = ['drawing', 'controls', 'readout'].map((id) =>
    document.getElementById(id),
  );
  return drawing && controls && readout ? { drawing, controls, readout } : null;
}

/** Puts a plot on the screen and listens to its reader. */
export function showPlot(parts: Parts, scene: Scene, first: Act = 'whole'): PlotOnScreen {
  const { drawing, controls, readout } = parts;
  const shown = new Shown(scene);
  const screen = new Screen(parts, shown);
  shown.act(first);
  listenToKeys(parts, shown, screen);
  listenToPointer(parts, shown, screen);
  window.addEventListener('resize', () => screen.redraw());
  window.addEventListener('beforeprint', () => {
    const { whole } = shown.scene;
    drawing.innerHTML = shown.scene.draw({ ...whole, widthPx: PAPER_PX }).text;
  });
  window.addEventListener('afterprint', () => screen.draw());
  drawing.classList.remove('static');
  drawing.tabIndex = 0;
  drawing.setAttribute('role', 'group');
  drawing.setAttribute('aria-label', 'Plots: arrow keys move, plus and minus zoom, 0 shows all');
  controls.hidden = false;
  readout.hidden = false;
  screen.draw();
  return {
    update(next) {
      shown.renew(next);
      screen.redraw();
    },
  };
}

const KEYS: Readonly<Record<string, Act>> = {
  '+': 'in',
  '=': 'in',
  '-': 'out',
  ArrowLeft: 'earlier',
  ArrowRight: 'later',
  '0': 'whole',
};
