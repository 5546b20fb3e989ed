import type { Gathering } from "./gathering";
import type { Corner } from "./outline";
import type { XmlReader } from "./xml";

const walked = new Set(["trk", "rte"]);

/** Tracks and routes of GPX 1.0 and 1.1, each segment walked round one area. */
export function gpxReader(gathering: Gathering): XmlReader {
  let name = "";
  let walks: Corner[][] = [];

  return {
    open(path, attribute) {
      const element = path.at(-1) ?? "";
      if (walked.has(element)) {
        name = "";
        walks = element === "rte" ? [[]] : [];
      }
      if (element === "trkseg") walks.push([]);
      if (element === "wpt") gathering.passOver("point");
      if (element === "trkpt" || element === "rtept")
        walks.at(-1)?.push(gathering.cornerOf(attribute("lat") ?? "", attribute("lon") ?? ""));
    },
    text(path, text) {
      if (path.at(-1) === "name" && walked.has(path.at(-2) ?? "")) name += text;
    },
    close(path) {
      return walked.has(path.at(-1) ?? "") ? gathering.addWalks(name, walks) : undefined;
    },
  };
}
