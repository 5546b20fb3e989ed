/**
 * Hands a large file over in a process of its own, so that what it takes can be measured.
 *
 *     node --max-old-space-size=600 --import tsx tests/support/hand-over-file.ts FILE [MODE [COPY]]
 */
import { readFileSync, writeFileSync } from "node:fs";
import type { FileCopyOptions } from "../../src/workbook/handover/file/copy-options";
import { rewriteFile } from "../../src/workbook/handover/file/rewrite-file";
import { untold } from "../../src/workbook/host/progress";

const [source = "", mode = "native formulas", target] = process.argv.slice(2);
const before = process.memoryUsage.rss();
let most = before;
let longest = 0;
let longestWork = 0;
let worked = process.cpuUsage();
let last = performance.now();
const turn = (): void => {
  const now = performance.now();
  longest = Math.max(longest, now - last);
  last = now;
  const since = process.cpuUsage(worked);
  longestWork = Math.max(longestWork, (since.user + since.system) / 1000);
  worked = process.cpuUsage();
  most = Math.max(most, process.memoryUsage.rss());
};
const clock = setInterval(turn, 0);
const bytes = new Uint8Array(readFileSync(source));
const cpu = process.cpuUsage();
worked = cpu;
last = performance.now();
const began = last;
const copy = await rewriteFile(bytes, { mode: mode as FileCopyOptions["mode"] }, untold);
turn();
clearInterval(clock);
const { user, system } = process.cpuUsage(cpu);
console.log(
  JSON.stringify({
    file: bytes.length,
    copy: copy.bytes.length,
    converted: copy.converted,
    stopped: copy.stopped.length,
    limits: copy.limits,
    seconds: Number(((performance.now() - began) / 1000).toFixed(1)),
    cpu: Number(((user + system) / 1e6).toFixed(1)),
    megabytesAtMost: Math.round(Math.max(most, process.resourceUsage().maxRSS * 1024) / 1e6),
    megabytesBefore: Math.round(before / 1e6),
    longestStretch: Math.round(longest),
    // On a machine that others use, nearer to what it is on one of its own.
    longestStretchOfWork: Math.round(longestWork),
  }),
);
if (target !== undefined) writeFileSync(target, copy.bytes);
