/** Style sheets are bundled as text, so that the pane is one script and one page. */
declare module "*.css" {
  const text: string;
  export default text;
}
