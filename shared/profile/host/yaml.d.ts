/** YAML files are bundled as their text. */
declare module '*.yaml' {
  const text: string;
  export default text;
}
