/** A file that asks nothing of any network, and says so to the browser. Pure. */
import { createHash } from 'node:crypto';
import { html, Markup } from '../html';
import { STYLE } from './style';

/** What the browser's policy knows a block of the page by (Content Security Policy level 3, 2.3.1). */
const hashOf = (text: string): string =>
  `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** The whole file. `script` is all that may run in it. */
export function documentOf(title: string, script: string, body: Markup): string {
  const policy = `default-src 'none'; style-src ${hashOf(STYLE)}; script-src ${hashOf(script)}; base-uri 'none'; form-action 'none'`;
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="generator" content="trayward">
<title>${title}</title>
<style>${new Markup(STYLE)}</style>
</head>
<body>
${body}
<script>${new Markup(script)}</script>
</body>
</html>
`.text;
}
