/**
 * Runs in the page: draws the stretch of the plot that its reader asks for, by buttons, keys, wheel or fingers, at
 * the width of the screen. It asks nothing of anybody. On paper, and without it, the whole plot stands as it was.
 */
import { acrossOf, timeText, type View } from '../plot/axes';
import { drawPlot } from '../plot/draw';
import { rowAt } from '../plot/lines';
import type { Plot, Values } from '../plot/model';

/** Nearer than this nothing more is to be seen, minutes: a reading comes every five. */
const SHOWN_LEAST_MIN = 60;
const DAY_MIN = 1_440;
/** One step of zooming, and of moving as a share of what is shown. */
const ZOOM_STEP = 2;
const MOVE_SHARE = 0.4;
const WHEEL_STEP = 1.25;
/** Wider than any screen would only blur lines, narrower than this nothing can be read, px. */
const WIDTH_PX = { least: 300, most: 1_150 } as const;
/** A finger that moves less than this has only touched, px. */
const DRAG_PX = 6;

type Act = 'in' | 'out' | 'earlier' | 'later' | 'day' | 'whole';

/** What the page has for it. */
interface Parts {
  readonly drawing: HTMLElement;
  readonly controls: HTMLElement;
  readonly readout: HTMLElement;
}

/** The stretch that is shown, and the minute that its reader points at. */
class Shown {
  from = 0;
  to: number;
  at: number | null = null;

  constructor(readonly plot: Plot) {
    this.to = plot.lengthMin;
  }

  /** Shows so many minutes, with `anchor` at that share of them. */
  show(length: number, anchor: number, share: number): void {
    const { lengthMin } = this.plot;
    const wide = Math.min(lengthMin, Math.max(SHOWN_LEAST_MIN, length));
    this.from = Math.min(lengthMin - wide, Math.max(0, anchor - share * wide));
    this.to = this.from + wide;
  }

  /** Closer by `times` (below 1: further), with `minute` staying where it is. */
  zoom(times: number, minute: number): void {
    const length = this.to - this.from;
    this.show(length / times, minute, (minute - this.from) / length);
  }

  act(what: Act): void {
    const length = this.to - this.from;
    const middle = this.at ?? (this.from + this.to) / 2;
    if (what === 'in') this.zoom(ZOOM_STEP, middle);
    else if (what === 'out') this.zoom(1 / ZOOM_STEP, middle);
    else if (what === 'earlier') this.show(length, this.from - MOVE_SHARE * length, 0);
    else if (what === 'later') this.show(length, this.from + MOVE_SHARE * length, 0);
    else if (what === 'day') this.show(DAY_MIN, this.plot.lengthMin, 1);
    else this.show(this.plot.lengthMin, 0, 0);
  }

  /** What is to be read beside the plot. */
  get text(): string {
    const { plot, at, from, to } = this;
    if (at === null) return `Shown: ${timeText(plot, from)} to ${timeText(plot, to)}`;
    return valuesText(plot, at);
  }
}

function valuesText(plot: Plot, minute: number): string {
  const { rows, temperatureUnit, massUnit } = plot;
  const row = rowAt(rows, minute);
  if (row === null) return `${timeText(plot, minute)}: no reading`;
  const value = (list: Values, digits: number, unit: string): string => {
    const one = list[row] ?? null;
    return one === null ? '-' : `${one.toFixed(digits)} ${unit}`;
  };
  return [
    timeText(plot, rows.minutes[row] ?? minute),
    `root zone ${value(rows.rootZone, 1, temperatureUnit)}`,
    `mat ${value(rows.duty, 0, '%')}`,
    value(rows.weight, massUnit === 'g' ? 0 : 2, massUnit),
    `dry-back ${value(rows.dryBack, 1, '%')} (scale alone ${value(rows.rawDryBack, 1, '%')})`,
  ].join(', ');
}

/** The plot on the screen. */
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
    drawing.innerHTML = drawPlot(this.shown.plot, this.view).text;
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

function start(parts: Parts, plot: Plot): void {
  const { drawing, controls, readout } = parts;
  const whole = drawing.innerHTML;
  const shown = new Shown(plot);
  const screen = new Screen(parts, shown);
  listenToKeys(parts, shown, screen);
  listenToPointer(parts, shown, screen);
  window.addEventListener('resize', () => screen.redraw());
  window.addEventListener('beforeprint', () => {
    drawing.innerHTML = whole;
  });
  window.addEventListener('afterprint', () => screen.draw());
  drawing.classList.remove('static');
  drawing.tabIndex = 0;
  drawing.setAttribute('role', 'group');
  drawing.setAttribute('aria-label', 'Plots: arrow keys move, plus and minus zoom, 0 shows all');
  controls.hidden = false;
  readout.hidden = false;
  screen.draw();
}

const KEYS: Readonly<Record<string, Act>> = {
  '+': 'in',
  '=': 'in',
  '-': 'out',
  ArrowLeft: 'earlier',
  ArrowRight: 'later',
  '0': 'whole',
};
const ACTS: readonly string[] = ['in', 'out', 'earlier', 'later', 'day', 'whole'] satisfies Act[];
const isAct = (what: string | undefined): what is Act => what !== undefined && ACTS.includes(what);

const drawing = document.getElementById('drawing');
const controls = document.getElementById('controls');
const readout = document.getElementById('readout');
const data = document.getElementById('plot-data');
if (drawing !== null && controls !== null && readout !== null && data !== null) {
  // Sound: the page was written with it, by the same program.
  start({ drawing, controls, readout }, JSON.parse(data.textContent ?? '') as Plot);
}
