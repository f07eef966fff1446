/** Dialogs of the page: each asks once, and tells what became of it. */
import type { Outcome } from '../outcome';

/** The dialog of an act: each has one with words of its own, so that no wet thumb tells anything by itself. */
interface Parts {
  readonly dialog: HTMLDialogElement;
  readonly form: HTMLFormElement;
  readonly out: HTMLElement;
  readonly yes: HTMLButtonElement;
  readonly no: HTMLButtonElement;
}

function partsOf(act: string): Parts | null {
  const dialog = document.getElementById(`act-${act}`);
  if (!(dialog instanceof HTMLDialogElement)) return null;
  const form = dialog.querySelector('form');
  const out = dialog.querySelector<HTMLElement>('[data-out]');
  const yes = dialog.querySelector<HTMLButtonElement>('.yes');
  const no = dialog.querySelector<HTMLButtonElement>('[data-close]');
  return form && out && yes && no ? { dialog, form, out, yes, no } : null;
}

/** Names what is done once; the plainer way to make one is not there without TLS. */
const newId = (): string =>
  [...crypto.getRandomValues(new Uint8Array(16))]
    .map((byte) => byte.toString(16).padStart(2, '0'))
    .join('');

class Asking {
  #id = newId();
  #sure = false;
  readonly #yesText: string;

  constructor(
    private readonly parts: Parts,
    private readonly act: string,
    private readonly alarm: string | undefined,
  ) {
    this.#yesText = parts.yes.textContent ?? '';
  }

  open(what: string | undefined): void {
    const { dialog, form, out, yes, no } = this.parts;
    form.reset();
    this.#say('', false);
    yes.hidden = false;
    yes.disabled = false;
    no.textContent = 'No';
    const about = dialog.querySelector('[data-what]');
    if (about !== null) about.textContent = what === undefined ? '' : `: ${what}`;
    out.classList.remove('bad');
    form.onsubmit = (event) => {
      event.preventDefault();
      void this.#send();
    };
    no.onclick = () => dialog.close();
    dialog.onclose = () => {
      yes.textContent = this.#yesText;
    };
    dialog.showModal();
  }

  async #send(): Promise<void> {
    const { form, yes } = this.parts;
    yes.disabled = true;
    this.#say('Telling the controller ...', false);
    const fields = Object.fromEntries(new FormData(form));
    const alarm = this.alarm === undefined ? {} : { alarm: this.alarm };
    const body = { id: this.#id, sure: this.#sure, act: { act: this.act, ...alarm, ...fields } };
    try {
      const answer = await fetch(document.body.dataset.acts ?? '', {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(body),
      });
      if (answer.headers.get('content-type')?.startsWith('application/json') !== true) {
        throw new Error(`${answer.status}`);
      }
      // Sound: the keeper has written it.
      this.#told((await answer.json()) as Outcome);
    } catch {
      // The same id once more: if it was done after all, it is not done again.
      this.#say('The keeper cannot be reached. Try again when this phone has its network.', true);
      yes.disabled = false;
    }
  }

  #told(outcome: Outcome): void {
    const { yes, no } = this.parts;
    yes.disabled = false;
    this.#id = newId();
    if (outcome.is === 'asks') {
      this.#sure = true;
      this.#say(outcome.asks, false);
      yes.textContent = 'Yes, go on';
      return;
    }
    if (outcome.is === 'refused') {
      this.#say(`${outcome.says}\n${outcome.next}`.trim(), true);
      return;
    }
    this.#say(outcome.says, false);
    yes.hidden = true;
    no.textContent = 'Close';
    no.focus();
  }

  #say(text: string, isBad: boolean): void {
    const { out } = this.parts;
    out.textContent = text;
    out.classList.toggle('bad', isBad);
  }
}

/** Opens the dialog of whatever button is pressed. */
export function listenToButtons(): void {
  document.addEventListener('click', ({ target }) => {
    const button = target instanceof Element ? target.closest('button[data-act]') : null;
    if (!(button instanceof HTMLButtonElement)) return;
    const { act, alarm, what } = button.dataset;
    const parts = act === undefined ? null : partsOf(act);
    if (act !== undefined && parts !== null) new Asking(parts, act, alarm).open(what);
  });
}
