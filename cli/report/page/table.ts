/** A table of the page. Pure. */
import { html, type Markup } from '../html';
import type { Table } from '../model';
import { curveMarkup } from './curve';
import { withCode } from './words';

/** In a box of its own that a narrow screen scrolls sideways, by keyboard too. */
export function tableMarkup({ title, note, columns, rows, curve = [] }: Table): Markup {
  const kind = (i: number): Markup | null =>
    columns[i]?.isNumber === true ? html` class="number"` : null;
  const id = `table-${title.toLowerCase().replaceAll(/[^a-z]+/g, '-')}`;
  return html`<div><h3 id="${id}">${title}</h3>
${note === '' ? null : html`<p class="quiet">${withCode(note)}</p>`}${curveMarkup(title, curve)}
<div class="wide" tabindex="0" role="region" aria-labelledby="${id}"><table>
<thead><tr>${columns.map((column, i) => html`<th scope="col"${kind(i)}>${column.title}</th>`)}</tr></thead>
<tbody>
${rows.map(
  (
    row,
  ) => html`<tr>${row.map((cell, i) => (i === 0 ? html`<th scope="row">${cell}</th>` : html`<td${kind(i)}>${cell}</td>`))}</tr>
`,
)}</tbody></table></div></div>`;
}
