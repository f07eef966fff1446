/**
 * The looks of the page. Light and dark by the reader's setting, black on white on paper: there every line differs by
 * its dashes and width, and no meaning hangs on a colour. All pairs of text and ground have a contrast of 4.5 or more
 * (WCAG 2.2, 1.4.3), what is drawn one of 3 (1.4.11).
 */
export const STYLE = `
:root {
  color-scheme: light dark;
  --ground: #ffffff; --card: #f4f6f4; --text: #1b211d; --quiet: #4f5a53; --rule: #c9d1cb;
  --link: #0b5c86; --bad: #a3200d; --warn: #7a4d00; --good: #1d6b34;
  --band: #b5dcbd; --night: #b9c8e6; --root: #a3200d; --duty: #8a5200; --weight: #0b5c86;
  --true: #1d6b34; --raw: #68736c; --stage: #dfe7e1; --odd: #c7d4cb; --lid: #e3e3ee; --lid-odd: #cfcfe2;
}
@media (prefers-color-scheme: dark) {
  :root {
    --ground: #141816; --card: #1e2421; --text: #e7ede9; --quiet: #a9b5ad; --rule: #3c4741;
    --link: #7cc4ec; --bad: #ff9b8a; --warn: #f0bd66; --good: #85d79c;
    --band: #24452e; --night: #2b3a5c; --root: #ff9b8a; --duty: #f0bd66; --weight: #7cc4ec;
    --true: #85d79c; --raw: #98a39c; --stage: #2a332e; --odd: #3a463f; --lid: #2b2b3b; --lid-odd: #3d3d52;
  }
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
@media (max-width: 30rem) { dl { grid-template-columns: 1fr; gap: 0; } dd { margin-bottom: .5rem; } }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-size: .92rem; font-variant-numeric: tabular-nums; min-width: 20rem; }
th, td { overflow-wrap: normal; text-align: left; padding: .25rem .9rem .25rem 0; border-bottom: 1px solid var(--rule); vertical-align: top; }
th { font-weight: 600; white-space: nowrap; }
td { min-width: 4.5rem; }
.number { text-align: right; white-space: nowrap; }
code { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: .92em; }
.controls { display: flex; flex-wrap: wrap; gap: .4rem; margin: .5rem 0; }
.controls[hidden] { display: none; }
button { font: inherit; padding: .3rem .7rem; min-height: 2.2rem; color: var(--text); background: var(--card); border: 1px solid var(--quiet); border-radius: .3rem; cursor: pointer; }
.drawing { touch-action: pan-y pinch-zoom; }
.readout { display: block; min-height: 1.5em; font-variant-numeric: tabular-nums; }
svg.plot { display: block; width: 100%; height: auto; font-family: inherit; }
svg.plot text { fill: var(--text); font-size: 12px; }
svg.plot .title { font-weight: 600; }
svg.plot .tick, svg.plot .legend, svg.plot .level { fill: var(--quiet); font-size: 11px; }
svg.plot .grid { stroke: var(--rule); stroke-width: .6; }
svg.plot .grid.day { stroke-width: 1; }
svg.plot .hatch { stroke: var(--quiet); stroke-width: 1.5; }
svg.plot .cursor { stroke: var(--text); stroke-width: 1; pointer-events: none; }
svg.plot .band { fill: var(--band); } svg.plot .band.night { fill: var(--night); }
svg.plot .line { fill: none; stroke-width: 1.3; stroke-linejoin: round; }
svg.plot .root { stroke: var(--root); } svg.plot .duty { fill: var(--duty); } svg.plot .weight { stroke: var(--weight); }
svg.plot .true { stroke: var(--true); stroke-width: 2; } svg.plot .raw { stroke: var(--raw); stroke-dasharray: 4 3; }
svg.plot line.level { stroke: var(--quiet); stroke-dasharray: 7 3; } svg.plot line.level.rescue { stroke: var(--bad); stroke-dasharray: 2 3; }
svg.plot .dose { fill: var(--weight); stroke: var(--weight); } svg.plot .dose.missed { fill: var(--ground); stroke: var(--bad); stroke-width: 1.5; }
svg.plot .flag { stroke: var(--text); stroke-width: 1.2; }
svg.plot .stage { fill: var(--stage); } svg.plot .stage.odd { fill: var(--odd); }
svg.plot .lid { fill: var(--lid); } svg.plot .lid.odd { fill: var(--lid-odd); }
svg.plot .mark circle { fill: var(--ground); stroke: var(--warn); stroke-width: 2; } svg.plot .mark .span { fill: var(--warn); }
svg.plot .mark text { font-weight: 700; } svg.plot .mark.grave circle { stroke: var(--bad); } svg.plot .mark.grave .span { fill: var(--bad); }
svg.plot .mark.incident circle { fill: var(--text); stroke: var(--text); } svg.plot .mark.incident text { fill: var(--ground); }
svg.plot a:focus-visible { outline: none; } svg.plot a:focus-visible circle { stroke: var(--link); stroke-width: 4; }
@media (max-width: 40rem) { .static svg.plot { min-width: 44rem; } .static { overflow-x: auto; } }
@media print {
  :root {
    --ground: #fff; --card: #fff; --text: #000; --quiet: #333; --rule: #bbb; --link: #000; --bad: #000; --warn: #000; --good: #000;
    --band: #e2e2e2; --night: #c9c9c9; --root: #000; --duty: #000; --weight: #000; --true: #000; --raw: #555; --stage: #eee; --odd: #ddd; --lid: #eee; --lid-odd: #ddd;
  }
  @page { margin: 14mm 13mm; }
  body { padding: 0; max-width: none; font-size: 9.5pt; }
  a { text-decoration: none; }
  .controls, .readout, .skip, .hint, .answers a { display: none; }
  h2, h3, h3 + p { break-after: avoid; }
  .answers section, tr, .drawing { break-inside: avoid; }
  .answers { grid-template-columns: 1fr 1fr; }
  .wide { overflow: visible; }
  table { font-size: 8pt; min-width: 0; } th, td { padding-right: .5rem; }
  thead { display: table-header-group; }
}
`;
