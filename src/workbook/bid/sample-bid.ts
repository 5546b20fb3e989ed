import { sampleProperty } from "./sample-property";
import { writeBid } from "./write-bid";

/** Writes the sample bid once Office.js is ready, for a workbench that opens with something to look at. */
export async function openSampleBid(): Promise<void> {
  await Office.onReady();
  await writeBid(
    { system: "us", currency: "$", property: sampleProperty.us.property, sample: true },
    { report: () => undefined, stopped: false },
  );
}
