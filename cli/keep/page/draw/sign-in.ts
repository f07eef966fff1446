/** Asks for the token, once for each phone. Works without any script. Pure. */
import { html, type Markup } from '../../../report/html';

export const signInBody = (
  title: string,
  next: string,
  why: string,
): Markup => html`<header><h1>${title}</h1></header>
<main id="main">
<form class="sign-in" method="post" action="/sign-in">
<p>This page belongs to a household. Its token stands in a file beside the keeper's own; this phone asks for it once.</p>
${why === '' ? null : html`<p class="bad" role="alert">${why}</p>`}
<input type="hidden" name="next" value="${next}">
<p class="field"><label for="token">Token</label><input id="token" name="token" type="password" autocomplete="current-password" required autofocus></p>
<div class="buttons"><button type="submit" class="yes">Sign in</button></div>
</form>
</main>`;

/** A page that says one thing. */
export const plainBody = (title: string, says: string): Markup =>
  html`<header><h1>${title}</h1></header>
<main id="main"><p>${says}</p><p><a href="/">All trays</a></p></main>`;
