/** The looks of the page: those of a report, with room for wet thumbs. */
import { STYLE } from '../../../report/page/style';

export const PAGE_STYLE = `${STYLE}
header { margin-bottom: 1rem; }
h1 .word { font-size: 1.1rem; vertical-align: .15em; }
nav { margin-bottom: .5rem; }
nav a { display: inline-block; padding: .6rem 0; }
.says { font-size: 1.15rem; font-weight: 600; }
.says .quiet { font-weight: 400; font-size: 1rem; }
.bad { color: var(--bad); } .warn { color: var(--warn); }
.word { display: inline-block; flex: none; white-space: nowrap; min-width: 3.1rem; padding: .1rem .55rem; border-radius: .3rem; border: 2px solid; font-size: 1rem; font-weight: 700; text-align: center; line-height: 1.5; }
.word.well { color: var(--good); }
.word.look { color: var(--warn); border-style: dashed; }
.word.now { color: var(--ground); background: var(--bad); border-color: var(--bad); }
.trays { display: grid; gap: .75rem; grid-template-columns: repeat(auto-fill, minmax(min(100%, 20rem), 1fr)); }
.tray { background: var(--card); border: 1px solid var(--rule); border-radius: .4rem; padding: .25rem .9rem .75rem; display: flex; flex-direction: column; justify-content: space-between; content-visibility: auto; contain-intrinsic-size: auto 27rem; }
.tray:has(.word.now) { border-color: var(--bad); border-width: 2px; }
.tray h2 { margin: 0; font-size: 1.15rem; }
.tray h2 a { display: flex; gap: .6rem; align-items: center; min-height: 3rem; color: var(--text); text-decoration: none; }
.tray h2 .name { text-decoration: underline; text-decoration-color: var(--link); text-underline-offset: .2em; }
.facts, .facts div { display: block; }
.facts { margin: .4rem 0; }
.facts div { display: grid; grid-template-columns: 7.2rem 1fr; gap: .5rem; padding: .1rem 0; }
.facts dd { margin: 0; }
#facts .facts { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 30rem), 1fr)); gap: 0 2rem; }
svg.day { max-width: 26rem; }
svg.day .title { font-weight: 400; font-size: 11px; fill: var(--quiet); }
.stands { border-left: 6px solid var(--bad); }
.acts { display: none; }
.works .acts { display: block; }
.buttons, .works .buttons.acts { display: flex; flex-wrap: wrap; gap: .6rem; margin-top: .6rem; }
.buttons.acts { display: none; }
.buttons button, .controls button { min-height: 3rem; min-width: 6rem; padding: .5rem 1rem; }
.buttons .yes { background: var(--text); color: var(--ground); border-color: var(--text); font-weight: 600; }
button:disabled { opacity: .5; cursor: default; }
dialog { width: min(26rem, calc(100vw - 2rem)); color: var(--text); background: var(--ground); border: 2px solid var(--quiet); border-radius: .5rem; padding: 1rem; }
dialog::backdrop { background: rgb(0 0 0 / .5); }
dialog h2 { margin: 0 0 .25rem; }
.field label { display: block; font-weight: 600; }
.field input { font: inherit; font-size: 1.15rem; width: 100%; min-height: 3rem; padding: .4rem .6rem; color: var(--text); background: var(--ground); border: 1px solid var(--quiet); border-radius: .3rem; }
.out { white-space: pre-line; font-weight: 600; }
.out.bad { font-weight: 600; }
.line { position: sticky; top: 0; z-index: 1; margin: -1rem -1rem 1rem; padding: .75rem 1rem; max-width: none; background: var(--bad); color: var(--ground); font-weight: 600; }
.line a { color: inherit; }
.line[hidden] { display: none; }
.old { border: 2px solid var(--bad); padding: .75rem; border-radius: .4rem; }
.sign-in { max-width: 26rem; }
@media print { .acts, nav, .line { display: none; } }
`;

/** A tray with a seedling, in two strokes. */
export const ICON = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><path fill="none" stroke="#1d6b34" stroke-width="3" stroke-linecap="round" d="M16 24V13m0 2c0-5-4-7-9-7 0 5 4 8 9 7zm0-2c0-5 4-7 9-7 0 5-4 8-9 7z"/><path fill="none" stroke="#7a4d00" stroke-width="3" d="M5 24h22v4H5z"/></svg>`;
