/** Schemas of messages are bundled as text. */
declare module '*.proto' {
  const text: string;
  export default text;
}
