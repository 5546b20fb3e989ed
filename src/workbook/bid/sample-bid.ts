import { officeReady, speakAnew } from "../host";
import { sampleProperty } from "./sample-property";
import { writeBid } from "./write-bid";

/** Writes the sample bid once Office.js is ready, in front of the empty sheet that a workbench begins with. */
export async function openSampleBid(): Promise<void> {
  await officeReady();
  await writeBid(
    { system: "us", currency: "$", property: sampleProperty.us.property, sample: true },
    { report: () => undefined, stopped: false },
  );
  await speakAnew(async (context) => {
    const { worksheets } = context.workbook;
    const count = worksheets.getCount();
    await context.sync();
    worksheets.getFirst().position = count.value - 1;
    await context.sync();
  });
}
