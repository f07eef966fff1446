/** What a module imports to have the scripts of the keeper's pages. */
export const KEEPER_SCRIPTS: RegExp;
/** Those scripts as text, bundled anew. */
export function keeperScripts(): Promise<{ readonly room: string; readonly tray: string }>;
