/**
 * Runs in the page: draws the stretch of the plot that its reader asks for, by buttons, keys, wheel or fingers, at
 * the width of the screen. It asks nothing of anybody. On paper, and without it, the whole plot stands as it was.
 */
import { acrossOf, timeText, type View } from '../plot/axes';
import { drawPlot } from '../plot/draw';
import { rowAt } from '../plot/lines';
import type { Plot } from '../plot/model';

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

function start(
  drawing: HTMLElement,
  controls: HTMLElement,
  readout: HTMLElement,
  plot: Plot,
): void {
  const whole = drawing.innerHTML;
  let shown = { from: 0, to: plot.lengthMin };
  let at: number | null = null;
  let waiting = false;

  const view = (): View => ({
    ...shown,
    at,
    widthPx: Math.max(WIDTH_PX.least, Math.min(WIDTH_PX.most, drawing.clientWidth)),
  });

  function draw(): void {
    waiting = false;
    const focused = document.activeElement?.getAttribute('href') ?? null;
    drawing.innerHTML = drawPlot(plot, view()).text;
    // Drawn anew, what had the keyboard has it still.
    if (focused !== null && drawing.querySelector(`a[href="${focused}"]`) instanceof SVGElement)
      (drawing.querySelector(`a[href="${focused}"]`) as SVGElement).focus();
    readout.textContent = at === null ? periodText() : valuesText(at);
  }
  function redraw(): void {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(draw);
  }

  const periodText = (): string =>
    `Shown: ${timeText(plot, shown.from)} to ${timeText(plot, shown.to)}`;

  function valuesText(minute: number): string {
    const row = rowAt(plot.rows, minute);
    if (row === null) return `${timeText(plot, minute)}: no reading`;
    const { rows, temperatureUnit, massUnit } = plot;
    const value = (list: readonly (number | null)[], digits: number, unit: string): string => {
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

  /** Shows so many minutes, with `anchor` where it was. */
  function show(length: number, anchor: number, share: number): void {
    const wide = Math.min(
      plot.lengthMin,
      Math.max(Math.min(SHOWN_LEAST_MIN, plot.lengthMin), length),
    );
    const from = Math.min(plot.lengthMin - wide, Math.max(0, anchor - share * wide));
    shown = { from, to: from + wide };
    redraw();
  }

  function act(what: Act): void {
    const length = shown.to - shown.from;
    const middle = at ?? (shown.from + shown.to) / 2;
    const share = (middle - shown.from) / length;
    if (what === 'in') show(length / ZOOM_STEP, middle, share);
    else if (what === 'out') show(length * ZOOM_STEP, middle, share);
    else if (what === 'earlier') show(length, shown.from - MOVE_SHARE * length, 0);
    else if (what === 'later') show(length, shown.from + MOVE_SHARE * length, 0);
    else if (what === 'day') show(DAY_MIN, plot.lengthMin, 1);
    else show(plot.lengthMin, 0, 0);
  }

  /** Minute under a place of the screen. */
  function minuteAt(clientX: number): number {
    const { left, width } = drawing.getBoundingClientRect();
    const now = view();
    const minute = acrossOf(now).invert(((clientX - left) * now.widthPx) / width);
    return Math.min(now.to, Math.max(now.from, minute));
  }

  controls.addEventListener('click', ({ target }) => {
    const what = target instanceof HTMLElement ? target.dataset.do : undefined;
    if (isAct(what)) act(what);
  });
  drawing.addEventListener('keydown', (event) => {
    const what = KEYS[event.key];
    if (what === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    act(what);
  });
  drawing.addEventListener(
    'wheel',
    (event) => {
      // A bare wheel scrolls the page.
      if (!event.ctrlKey && !event.shiftKey) return;
      event.preventDefault();
      const by = (event.deltaY || event.deltaX) > 0 ? WHEEL_STEP : 1 / WHEEL_STEP;
      const length = shown.to - shown.from;
      const minute = minuteAt(event.clientX);
      show(length * by, minute, (minute - shown.from) / length);
    },
    { passive: false },
  );
  let drag: { x: number; from: number; moved: boolean } | null = null;
  drawing.addEventListener('pointerdown', (event) => {
    drag = { x: event.clientX, from: shown.from, moved: false };
  });
  drawing.addEventListener('pointermove', (event) => {
    if (drag !== null && event.buttons === 1) {
      const by = event.clientX - drag.x;
      drag.moved ||= Math.abs(by) > DRAG_PX;
      const length = shown.to - shown.from;
      if (drag.moved) show(length, drag.from - (by / drawing.clientWidth) * length, 0);
      return;
    }
    at = minuteAt(event.clientX);
    redraw();
  });
  drawing.addEventListener('pointerup', (event) => {
    if (drag?.moved !== true) at = minuteAt(event.clientX);
    drag = null;
    redraw();
  });
  drawing.addEventListener('pointerleave', () => {
    drag = null;
    at = null;
    redraw();
  });
  // Nobody is led anywhere by dragging over a mark.
  drawing.addEventListener('click', (event) => {
    if (drag?.moved === true) event.preventDefault();
  });
  window.addEventListener('resize', redraw);
  window.addEventListener('beforeprint', () => {
    drawing.innerHTML = whole;
  });
  window.addEventListener('afterprint', draw);

  drawing.classList.remove('static');
  drawing.tabIndex = 0;
  drawing.setAttribute('role', 'group');
  drawing.setAttribute('aria-label', 'Plots: arrow keys move, plus and minus zoom, 0 shows all');
  controls.hidden = false;
  readout.hidden = false;
  draw();
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
  start(drawing, controls, readout, JSON.parse(data.textContent ?? '') as Plot);
}
