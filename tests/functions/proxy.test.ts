/**
 * The built functions behind the real library's own function proxy: the answers that a host gets, and what a column in
 * one call saves against a call a row. The ratio is of one run; it is told, and only its direction is held to.
 */
import vm from "node:vm";
import { beforeAll, expect, test } from "vitest";
import { installHost } from "../../src/workbench/office/host-shim";
import type { HostLink } from "../../src/workbench/office/host-shim";
import { becomeWindow, runLibrary } from "../../src/workbench/office/node-realm";
import { Bridge } from "../../src/workbench/protocol/bridge";
import { Interpreter } from "../../src/workbench/protocol/interpreter";
import { inertObject } from "../../src/workbench/protocol/wire-object";
import { builtFile } from "../support/built-workbench";

type Reply = readonly [invocation: number, succeeded: boolean, value: unknown, error?: unknown];

const waiting = new Map<number, (reply: Reply) => void>();
const resultsObject = "Microsoft.ExcelServices.CustomFunctions";
let link: HostLink;
let next = 1;

beforeAll(async () => {
  const receiver = {
    $type: resultsObject,
    $scalars: [],
    SetInvocationArrayResults: (replies: readonly Reply[]): null => {
      for (const reply of replies) waiting.get(reply[0])?.(reply);
      return null;
    },
  };
  const interpreter = new Interpreter({
    global: () => inertObject("Workbook"),
    create: (type) => (type === resultsObject ? receiver : inertObject(type)),
  });
  const bridge = new Bridge({ interpreter, send: (text) => setImmediate(() => link.deliver(text)) });
  link = installHost(becomeWindow(), { send: (text) => bridge.receive(text) });
  runLibrary();
  await Office.onReady();
  vm.runInThisContext(builtFile("functions.js"));
});

/** How a host asks for function results: one message, an entry for each call. */
const functionCall = { messageCategory: 1, messageType: 1000, targetId: "" } as const;

/** Calls as a host sends them, all in one message; resolves when every answer has come. */
function ask(functionName: string, calls: readonly (readonly unknown[])[]): Promise<Reply[]> {
  const replies = calls.map(() => {
    const invocationId = next++;
    const reply = new Promise<Reply>((resolve) => waiting.set(invocationId, resolve));
    return { invocationId, reply };
  });
  const entries = replies.map(({ invocationId }, i) => ({
    ...functionCall,
    message: JSON.stringify({
      invocationId,
      functionName,
      parameterValues: calls[i],
      address: "Sheet1!A1",
      flags: 0,
    }),
  }));
  link.deliver(JSON.stringify({ type: 3, controlId: "", message: { entries } }));
  return Promise.all(replies.map(({ reply }) => reply));
}

test("a call is answered, a blank is a default, a refusal reaches the host with its sentence", async () => {
  // 4,000 ft2 at 7 lb per 1000 ft2 from a lot with 85 % pure live seed.
  const [full] = await ask("SEED_WEIGHT", [[4000, 7, 0.85, null]]);
  expect(full?.[1]).toBe(true);
  expect(full?.[2]).toBeCloseTo(28 / 0.85, 9);
  const [[, , asNull] = [], [, , asZero] = []] = await ask("SEED_WEIGHT", [
    [4000, 7, null, null],
    [4000, 7, 0, null],
  ]);
  expect([asNull, asZero]).toEqual([28, 28]);
  const [refused] = await ask("SEED_WEIGHT", [[4000, 7, 95, null]]);
  expect(refused?.[1]).toBe(false);
  expect(JSON.stringify(refused)).toContain("9500 %");
});

test("a column in one call gives the answers of a call a row", async () => {
  const rows = 10_000;
  const areas = Array.from({ length: rows }, (_, i) => 1000 + i);
  const column = areas.map((area) => [area]);
  // The library gathers answers for up to half a second after the last ones: each measure begins at rest.
  const timed = async <T>(work: () => Promise<T>): Promise<[number, T]> => {
    await new Promise((resolve) => setTimeout(resolve, 700));
    const began = performance.now();
    const result = await work();
    return [performance.now() - began, result];
  };
  await ask("SEED_WEIGHT", [[1000, 7, null, null]]);
  const [inOne, [spill]] = await timed(() => ask("EACH_ROW", [["SEED_WEIGHT", [column, [[7]]]]]));
  const [single, replies] = await timed(() =>
    ask(
      "SEED_WEIGHT",
      areas.map((area) => [area, 7, null, null]),
    ),
  );
  const [apart] = await timed(() =>
    Promise.all(areas.map((area) => ask("SEED_WEIGHT", [[area, 7, null, null]]))),
  );
  expect(spill?.[2]).toEqual(replies.map(([, , value]) => [value]));
  const times = (one: number) => `${one.toFixed(0)} ms, ${(one / inOne).toFixed(1)} times`;
  console.log(
    `real function proxy, ${rows} rows: one call ${inOne.toFixed(0)} ms; a call a row in one message ${times(single)}; a message a call ${times(apart)}`,
  );
}, 60_000);
