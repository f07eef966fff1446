/**
 * The looks of what is drawn: colours by theme, and the rules that use them by name. In the page the browser puts the
 * colours in; a drawing that stands alone has them written out, because programs for mail and print know no names. No
 * meaning hangs on a colour: lines differ by dashes and width. All pairs of text and ground have a contrast of 4.5 or
 * more (WCAG 2.2, 1.4.3), what is drawn one of 3 (1.4.11).
 */

const LIGHT = {
  ground: '#ffffff',
  card: '#f4f6f4',
  text: '#1b211d',
  quiet: '#4f5a53',
  rule: '#c9d1cb',
  link: '#0b5c86',
  bad: '#a3200d',
  warn: '#7a4d00',
  good: '#1d6b34',
  band: '#b5dcbd',
  night: '#b9c8e6',
  root: '#a3200d',
  duty: '#8a5200',
  weight: '#0b5c86',
  true: '#1d6b34',
  raw: '#68736c',
  stage: '#dfe7e1',
  odd: '#c7d4cb',
  lid: '#e3e3ee',
  'lid-odd': '#cfcfe2',
} as const;

export type Colours = { readonly [Name in keyof typeof LIGHT]: string };

/** By what it is read on: a bright screen, a dark one, paper in black and white. */
export const THEMES = {
  light: LIGHT,
  dark: {
    ground: '#141816',
    card: '#1e2421',
    text: '#e7ede9',
    quiet: '#a9b5ad',
    rule: '#3c4741',
    link: '#7cc4ec',
    bad: '#ff9b8a',
    warn: '#f0bd66',
    good: '#85d79c',
    band: '#24452e',
    night: '#2b3a5c',
    root: '#ff9b8a',
    duty: '#f0bd66',
    weight: '#7cc4ec',
    true: '#85d79c',
    raw: '#98a39c',
    stage: '#2a332e',
    odd: '#3a463f',
    lid: '#2b2b3b',
    'lid-odd': '#3d3d52',
  },
  paper: {
    ground: '#fff',
    card: '#fff',
    text: '#000',
    quiet: '#333',
    rule: '#bbb',
    link: '#000',
    bad: '#000',
    warn: '#000',
    good: '#000',
    band: '#e2e2e2',
    night: '#c9c9c9',
    root: '#000',
    duty: '#000',
    weight: '#000',
    true: '#000',
    raw: '#555',
    stage: '#eee',
    odd: '#ddd',
    lid: '#eee',
    'lid-odd': '#ddd',
  },
} as const satisfies Record<string, Colours>;

/** Of everything in a drawing; it is told by its class from whatever else is in a page. */
export const PLOT_RULES = `
svg.plot text { fill: var(--text); font-size: 12px; }
svg.plot .title { font-weight: 600; }
svg.plot .tick, svg.plot .legend, svg.plot .level { fill: var(--quiet); font-size: 11px; }
svg.plot .grid { stroke: var(--rule); stroke-width: .6; }
svg.plot .grid.day { stroke-width: 1; }
svg.plot .hatch { stroke: var(--quiet); stroke-width: 1.5; }
svg.plot .cursor { stroke: var(--text); stroke-width: 1; pointer-events: none; }
svg.plot .band { fill: var(--band); } svg.plot .band.night { fill: var(--night); }
svg.plot .line { fill: none; stroke-width: 1.3; stroke-linejoin: round; }
svg.plot .root { stroke: var(--root); } svg.plot .mean { stroke: var(--root); stroke-width: 1.8; } svg.plot .swing { fill: var(--root); fill-opacity: .1; stroke: var(--root); stroke-width: .6; }
svg.plot .duty { fill: var(--duty); } svg.plot .weight { stroke: var(--weight); }
svg.plot .true { stroke: var(--true); stroke-width: 2; } svg.plot .raw { stroke: var(--raw); stroke-dasharray: 4 3; }
svg.plot text.level { paint-order: stroke; stroke: var(--ground); stroke-width: 3; stroke-linejoin: round; }
svg.plot line.level { stroke: var(--quiet); stroke-dasharray: 7 3; } svg.plot line.level.rescue { stroke: var(--bad); stroke-dasharray: 2 3; }
svg.plot .dose { fill: var(--weight); stroke: var(--weight); } svg.plot .dose.missed { fill: var(--ground); stroke: var(--bad); stroke-width: 1.5; }
svg.plot .flag { stroke: var(--text); stroke-width: 1.2; }
svg.plot .stage { fill: var(--stage); } svg.plot .stage.odd { fill: var(--odd); }
svg.plot .lid { fill: var(--lid); } svg.plot .lid.odd { fill: var(--lid-odd); }
svg.plot .mark circle { fill: var(--ground); stroke: var(--warn); stroke-width: 2; } svg.plot .mark .span { fill: var(--warn); }
svg.plot .mark text { font-weight: 700; } svg.plot .mark.grave circle { stroke: var(--bad); } svg.plot .mark.grave .span { fill: var(--bad); }
svg.plot .mark.incident circle { fill: var(--text); stroke: var(--text); } svg.plot .mark.incident text { fill: var(--ground); }
`;

/**
 * Of many rehearsals. The outermost lines are dashed, those of the middle half are not, the middle one is broad: what is
 * filled between them only helps. A span is a bar, its middle a tick through it.
 */
export const FAN_RULES = `
svg.plot .fan { stroke-width: .8; stroke-linejoin: round; } svg.plot .line.middle { stroke-width: 2.2; stroke-linecap: round; }
svg.plot .fan.outer { fill-opacity: .1; stroke-dasharray: 3 2; } svg.plot .fan.inner { fill-opacity: .2; stroke-width: .8; }
svg.plot .fan.root { fill: var(--root); } svg.plot .fan.true { fill: var(--true); } svg.plot .fan.weight { fill: var(--weight); }
svg.plot .spread { fill: var(--quiet); } svg.plot .tick-mark { stroke: var(--text); stroke-width: 2.5; }
svg.plot a.span-mark text { fill: var(--link); text-decoration: underline; }
`;
