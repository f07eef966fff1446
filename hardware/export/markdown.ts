/** Tables as Markdown, aligned as the formatter of the repository wants them. */

/** A Markdown table with its columns aligned, as the formatter of the repository wants it. */
export function markdown(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((title, i) =>
    Math.max(3, title.length, ...rows.map((cells) => cells[i]?.length ?? 0)),
  );
  const row = (cells: readonly string[]): string =>
    `| ${widths.map((width, i) => (cells[i] ?? '').padEnd(width)).join(' | ')} |`;
  return [row(head), row(widths.map((width) => '-'.repeat(width))), ...rows.map(row)].join('\n');
}
