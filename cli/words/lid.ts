/** How the lid is, as a grower says it: `vents open` for `vents-open`. */
export const lidText = (lid: string): string => lid.replaceAll('-', ' ');
