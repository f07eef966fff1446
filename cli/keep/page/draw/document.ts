/** A page of the keeper as a file: nothing stands in it that a policy would have to allow. Pure. */
import { html, type Markup } from '../../../report/html';
import type { Assets } from '../serve/assets';

export interface DocumentOptions {
  readonly title: string;
  readonly assets: Assets;
  /** Which script of the page runs; null: none. */
  readonly script: 'room' | 'tray' | null;
  /** Where news come from, and where acts go; null: there are none. */
  readonly live: string | null;
  readonly acts: string | null;
}

export function documentOf(options: DocumentOptions, body: Markup): string {
  const { title, assets, script, live, acts } = options;
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<link rel="stylesheet" href="${assets.pathOf('style.css')}">
<link rel="icon" href="${assets.pathOf('icon.svg')}" type="image/svg+xml">
${script === null ? null : html`<script type="module" src="${assets.pathOf(`${script}.js`)}"></script><script nomodule defer src="${assets.pathOf('old.js')}"></script>`}
</head>
<body${live === null ? null : html` data-live="${live}"`}${acts === null ? null : html` data-acts="${acts}"`}>
<a class="skip" href="#main">Skip to what matters</a>
<p class="line" id="line" role="status" hidden></p>
${
  script === null
    ? null
    : html`<noscript><p class="old">Scripts are off in this browser, so that this page stands still: load it again to see how it is now. What you did is told by <code>trayward alarm</code> and <code>trayward mark</code> on the computer beside the trays.</p></noscript>
<p class="old" id="old" hidden>This browser is too old for this page, which therefore stands still: load it again to see how it is now. Open it in a newer browser, or tell what you did by <code>trayward alarm</code> and <code>trayward mark</code> on the computer beside the trays.</p>
`
}${body}
</body>
</html>
`.text;
}
