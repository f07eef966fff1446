/** What becomes of an act, as the page is told. `asks`: it does more than it says, and wants to be said again. */
export type Outcome =
  | { readonly is: 'done'; readonly says: string }
  | { readonly is: 'asks'; readonly asks: string }
  | { readonly is: 'refused'; readonly says: string; readonly next: string };
