import type { Source } from "../formula";

/** The geometry of straight-sided outlines is older than any handbook; stated here as common practice. */
export const siteMeasuring: Source = {
  title: "Plane geometry of a straight-sided outline",
  publisher: "common practice",
};
