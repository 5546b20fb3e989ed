/** A corner in degrees on WGS84, in the order the worksheet functions take it. */
export type Corner = readonly [latitude: number, longitude: number];

/** One closed outline; the last corner joins the first without being repeated. */
export interface BroughtOutline {
  /** What tells it apart from the others of its file. */
  name: string;
  /** The zone that it belongs to: the name of its polygon, be it a part of it or a hole in it. */
  zone: string;
  counts: "area" | "left out";
  points: readonly Corner[];
}

export interface BroughtFile {
  outlines: readonly BroughtOutline[];
  /** What the estimator should know before using them: passed over, thinned, joined. */
  notes: readonly string[];
}
