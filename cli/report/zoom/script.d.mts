/** What a module imports to have the script of the report's page. */
export const PAGE_SCRIPT: RegExp;
/** That script as text, bundled anew. */
export function pageScript(): Promise<string>;
