/** The crop files, parsed: `cli/crop-files.mjs` puts them in where the program is bundled. */
declare module 'trayward:crop-files' {
  /** By file name, in the order of the alphabet. */
  const files: Readonly<Record<string, unknown>>;
  export default files;
}
