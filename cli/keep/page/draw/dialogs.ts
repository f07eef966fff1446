/** What is asked before anything is told to a controller: one dialog an act, each with its own words on its buttons. Pure. */
import { html, type Markup } from '../../../report/html';
import type { ActName } from '../serve/acts';

type Units = 'metric' | 'us';

interface Field {
  readonly name: string;
  readonly label: string;
  readonly unit?: string;
  /** Which keys a phone shows. */
  readonly mode: 'decimal' | 'numeric' | 'text';
}

interface Dialog {
  readonly act: ActName;
  /** On its button in the page; null: it has one at each alarm. */
  readonly label: string | null;
  readonly asks: string;
  readonly means: string;
  readonly yes: string;
  readonly fields: (units: Units) => readonly Field[];
}

const none = (): readonly Field[] => [];

const DIALOGS: readonly Dialog[] = [
  {
    ...{ act: 'seen', label: null, asks: 'Have you seen it?', yes: 'Yes, seen', fields: none },
    means: 'It is quiet then, and is not told again. What it holds off stays off.',
  },
  {
    ...{ act: 'mended', label: null, asks: 'Is it put right?', yes: 'Yes, mended', fields: none },
    means: 'What it held off goes on, unless its cause is still there.',
  },
  {
    ...{ act: 'sown', label: 'Sown', asks: 'Is seed in?', yes: 'Yes, sown', fields: none },
    means: 'The profile begins with its first stage.',
  },
  {
    ...{ act: 'emerged', label: 'Emerged', asks: 'Are most seedlings up?', fields: none },
    ...{ means: 'The stage that waits for it ends.', yes: 'Yes, they are up' },
  },
  {
    ...{ act: 'refilled', label: 'Refilled', asks: 'What is in the reservoir now?' },
    ...{ means: 'All that is in it, not what was added.', yes: 'Yes, refilled' },
    fields: (units) => [
      {
        ...{ name: 'volume', label: 'Volume', mode: 'decimal' },
        unit: units === 'us' ? 'gal' : 'l',
      },
      { name: 'ec', label: 'EC', unit: 'mS/cm', mode: 'decimal' },
    ],
  },
  {
    ...{ act: 'transplanted', label: 'Transplanted', asks: 'Were they moved on?', fields: none },
    means: 'The roots are left alone for some days.',
    yes: 'Yes, transplanted',
  },
  {
    ...{ act: 'count', label: 'Count', asks: 'How many stand?', yes: 'Keep this count' },
    means: 'Counted now, of those sown at the last sowing.',
    fields: () => [
      { name: 'standing', label: 'Stand', mode: 'numeric' },
      { name: 'of', label: 'Of so many sown', mode: 'numeric' },
    ],
  },
  {
    ...{ act: 'note', label: 'Note', asks: 'What is to be remembered?', yes: 'Keep this note' },
    means: 'It stands in the journal, and changes nothing.',
    fields: () => [{ name: 'text', label: 'Note', mode: 'text' }],
  },
];

/** Buttons for what a grower tells, in the order of a crop. */
export const MARK_BUTTONS = DIALOGS.flatMap(({ act, label }) =>
  label === null ? [] : [{ act, label }],
);

function fieldMarkup(act: string, { name, label, unit, mode }: Field): Markup {
  const id = `${act}-${name}`;
  return html`<p class="field"><label for="${id}">${label}${unit === undefined ? null : `, ${unit}`}</label><input id="${id}" name="${name}" inputmode="${mode}" autocomplete="off" required maxlength="60"></p>`;
}

export const dialogs = (tray: string, units: Units): Markup =>
  html`${DIALOGS.map(
    ({
      act,
      asks,
      means,
      yes,
      fields,
    }) => html`<dialog id="act-${act}" aria-labelledby="head-${act}"><form data-form="${act}">
<p class="quiet">${tray}<span data-what></span></p><h2 id="head-${act}">${asks}</h2>
<p>${means}</p>${fields(units).map((field) => fieldMarkup(act, field))}
<p class="out" data-out role="status"></p>
<div class="buttons"><button type="submit" class="yes">${yes}</button><button type="button" data-close>No</button></div>
</form></dialog>
`,
  )}`;
