/** Words of the page that carry commands. Pure. */
import { html, type Markup } from '../html';

/** Commands stand between backticks in our words. */
export function withCode(text: string): Markup {
  return html`${text.split('`').map((part, i) => (i % 2 === 1 ? html`<code>${part}</code>` : part))}`;
}
