/** What the keeper's pages run, as the build makes it from `browser/`. */
declare module 'trayward:keeper-scripts' {
  const scripts: { readonly room: string; readonly tray: string };
  export default scripts;
}
