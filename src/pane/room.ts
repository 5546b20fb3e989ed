/** A room is one tab of the pane: it draws itself into its panel and is told when it comes into view. */
export interface Room {
  shown(): void;
}
