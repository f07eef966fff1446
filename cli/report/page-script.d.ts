/** What the report's page runs, as the build makes it from `zoom/`. */
declare module 'trayward:page-script' {
  const text: string;
  export default text;
}
