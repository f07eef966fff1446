/** Advice in which the page's own buttons stand for the commands that do the same. Pure. */
import { capitalised } from '../../../words/capitalised';

/** Commands for which there is a button, by its word. */
const COMMAND =
  /`trayward (?:alarm (seen|mended)|mark (sown|emerged|transplanted|refilled))[^`]*`/g;

/** `and `trayward mark emerged`` as `and say Emerged`. */
export const byButton = (text: string): string =>
  text.replace(
    COMMAND,
    (_, alarm?: string, mark?: string) => `say ${capitalised(alarm ?? mark ?? '')}`,
  );
