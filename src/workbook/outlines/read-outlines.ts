import type { Pieces } from "../host";
import { Gathering } from "./gathering";
import { readGeoJson } from "./geojson";
import { gpxReader } from "./gpx";
import { kmlReader } from "./kml";
import type { BroughtFile } from "./outline";
import { readXml } from "./xml";

/** In bytes, which are read in under a second; whoever opens a file looks at its size first, so that a huge one is not even loaded. */
export const largestFile = 10 * 1024 * 1024;

/**
 * The outlines in a GeoJSON, KML or GPX file, as latitude and longitude in degrees on WGS84.
 * The text decides which of them it is, since a download often carries the wrong ending.
 * A file that cannot be used whole is refused with a WorkbookTrouble, so a wrong area never comes of half a file.
 */
export function* readingOutlines(fileName: string, text: string): Pieces<BroughtFile> {
  const gathering = new Gathering(fileName);
  if (text.length > largestFile)
    gathering.refuse("is over 10 MB: save only the outlines of this property, then try again.");
  const content = text.startsWith("\uFEFF") ? text.slice(1) : text;
  const start = content.slice(0, 1000).trimStart();
  if (content.trim() === "") gathering.refuse("is empty: choose a GeoJSON, KML or GPX file.");
  if (start.startsWith("PK"))
    gathering.refuse("is zipped (KMZ or the like): save it as KML, or unzip it and choose the file inside.");
  if (/^[{[]/.test(start)) yield* readGeoJson(content, gathering);
  else if (start.startsWith("<"))
    yield* readXml(content.trimStart(), gathering, (root) => {
      if (root === "kml") return kmlReader(gathering);
      if (root === "gpx") return gpxReader(gathering);
      return gathering.refuse("is neither KML nor GPX: choose a GeoJSON, KML or GPX file.");
    });
  else gathering.refuse("is none of GeoJSON, KML and GPX: choose a file in one of these formats.");
  return gathering.finish();
}
