/**
 * The looks of the page. Light and dark by the reader's setting, black on white on paper; the colours, and what is drawn
 * with them, are those of `plot/looks.ts`.
 */
import { type Colours, FAN_RULES, PLOT_RULES, THEMES } from '../plot/looks';

const named = (colours: Colours): string =>
  Object.entries(colours)
    .map(([name, colour]) => `--${name}: ${colour};`)
    .join(' ');

export const STYLE = `
:root { color-scheme: light dark; ${named(THEMES.light)} }
@media (prefers-color-scheme: dark) {
  :root { ${named(THEMES.dark)} }
}
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; scroll-padding-top: 1rem; }
body {
  margin: 0 auto; padding: 1rem; max-width: 72rem; background: var(--ground); color: var(--text);
  font: 1rem/1.5 system-ui, "Segoe UI", Roboto, "DejaVu Sans", sans-serif; overflow-wrap: anywhere;
}
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0; }
h2 { font-size: 1.25rem; margin: 2rem 0 .5rem; }
h3 { font-size: 1.05rem; margin: 1.5rem 0 .35rem; }
.story h3 { margin-top: 0; }
p { margin: .35rem 0; max-width: 46rem; }
a { color: var(--link); }
.skip { position: absolute; left: -99rem; }
.skip:focus { position: static; }
:focus-visible { outline: 3px solid var(--link); outline-offset: 2px; }
.quiet { color: var(--quiet); }
.answers { display: grid; gap: .75rem; grid-template-columns: repeat(auto-fit, minmax(min(100%, 26rem), 1fr)); margin-top: 1rem; }
.answers section, .story { background: var(--card); border: 1px solid var(--rule); border-radius: .4rem; padding: .75rem 1rem; }
.answers h2 { margin: 0 0 .25rem; font-size: 1.1rem; }
ul, ol { margin: .25rem 0; padding-left: 1.2rem; }
li { margin: .2rem 0; }
.verdict { font-weight: 700; font-size: 1.1rem; }
.not-yet { color: var(--bad); } .look-first { color: var(--warn); } .nothing-against { color: var(--good); }
.story { margin: .75rem 0; }
.story:target { outline: 3px solid var(--link); }
dl { margin: 0; display: grid; grid-template-columns: 6rem 1fr; gap: .25rem .75rem; }
dt { color: var(--quiet); }
dd { margin: 0; max-width: 46rem; }
dd p { margin: 0 0 .2rem; }
.days { grid-template-columns: 10rem 1fr; } .days dt { color: var(--text); }
@media (max-width: 30rem) { dl, .days { grid-template-columns: 1fr; gap: 0; } dd { margin-bottom: .5rem; } }
/* A shade stands at the side to which there is more: what lies beyond it is scrolled to. */
.wide { overflow-x: auto; background: linear-gradient(to right, var(--ground) 50%, transparent) 0 0 / 2.5rem 100% no-repeat local, linear-gradient(to left, var(--ground) 50%, transparent) 100% 0 / 2.5rem 100% no-repeat local, linear-gradient(to right, var(--quiet), transparent) 0 0 / .8rem 100% no-repeat scroll, linear-gradient(to left, var(--quiet), transparent) 100% 0 / .8rem 100% no-repeat scroll; }
table { border-collapse: collapse; font-size: .92rem; font-variant-numeric: tabular-nums; min-width: 20rem; }
th, td { overflow-wrap: normal; text-align: left; padding: .25rem .9rem .25rem 0; border-bottom: 1px solid var(--rule); vertical-align: top; }
th { font-weight: 600; white-space: nowrap; }
td { min-width: 4.5rem; }
.number { text-align: right; white-space: nowrap; }
@media (max-width: 30rem) { table { min-width: 0; font-size: .8rem; } th, td { padding-right: .5rem; } td { min-width: 0; } th, .number { white-space: normal; } }
code { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: .92em; }
.controls { display: flex; flex-wrap: wrap; gap: .4rem; margin: .5rem 0; }
.controls[hidden] { display: none; }
button { font: inherit; padding: .3rem .7rem; min-height: 2.2rem; color: var(--text); background: var(--card); border: 1px solid var(--quiet); border-radius: .3rem; cursor: pointer; }
.drawing { touch-action: pan-y pinch-zoom; }
.readout { display: block; min-height: 1.5em; white-space: pre-line; font-variant-numeric: tabular-nums; }
svg.plot { display: block; width: 100%; height: auto; font-family: inherit; }
${PLOT_RULES.trim()}
${FAN_RULES.trim()}
svg.plot a:focus-visible { outline: none; } svg.plot a:focus-visible circle { stroke: var(--link); stroke-width: 4; } svg.plot a:focus-visible .spread { stroke: var(--link); stroke-width: 4; }
@media (max-width: 40rem) { .static svg.plot { min-width: 44rem; } .static { overflow-x: auto; } }
@media print {
  :root { ${named(THEMES.paper)} }
  @page { margin: 14mm 13mm; }
  body { padding: 0; max-width: none; font-size: 9.5pt; }
  a { text-decoration: none; }
  .controls, .readout, .skip, .hint, .answers a { display: none; }
  h2, h3, h3 + p { break-after: avoid; }
  .answers section, tr, .drawing { break-inside: avoid; }
  .answers { grid-template-columns: 1fr 1fr; }
  .wide { overflow: visible; background: none; }
  table { font-size: 8pt; min-width: 0; } th, td { padding-right: .5rem; }
  thead { display: table-header-group; }
}
`;
