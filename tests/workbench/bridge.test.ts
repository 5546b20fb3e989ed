import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { Bridge } from "../../src/workbench/protocol/bridge";
import { HostError } from "../../src/workbench/protocol/host-error";
import { Interpreter } from "../../src/workbench/protocol/interpreter";
import { ActionType, ObjectPathType } from "../../src/workbench/protocol/wire";
import type { Action, BatchResponse, ObjectPath } from "../../src/workbench/protocol/wire";
import { inertObject } from "../../src/workbench/protocol/wire-object";
import type { WireCollection, WireObject } from "../../src/workbench/protocol/wire-object";
import { start } from "./fixtures/start";

const CHANGED =
  "Office.js changed how it speaks to its host. Compare src/workbench/protocol with the new library before pinning it.";

/** A model that has nothing to do with Excel: a shelf of boxes. */
class Box implements WireObject {
  readonly $type = "Box";
  readonly $scalars = ["Label", "Weight"];
  readonly $keepsReference = true;
  Weight = 1;

  constructor(public Label: string) {}

  get Id(): string {
    return `{${this.Label}}`;
  }

  Heavier(by: number): number {
    return (this.Weight += by);
  }

  Beside(other: Box): Box {
    return new Box(`${this.Label}+${other.Label}`);
  }

  Missing(): null {
    return null;
  }

  Refuse(): never {
    throw new HostError("TooHeavy", "The box is too heavy.", 409);
  }
}

class Shelf implements WireObject {
  readonly $type = "Shelf";
  readonly $scalars = ["Name"];
  readonly Name = "shelf";
  readonly boxes = [new Box("a"), new Box("b"), new Box("c")];

  get Boxes(): WireCollection & { GetItem(label: string): Box } {
    const { boxes } = this;
    return {
      $type: "BoxCollection",
      $scalars: [],
      $items: () => boxes,
      GetItem: (label) => boxes.find((box) => box.Label === label) ?? new Box(label),
    };
  }
}

const path = (Id: number, type: number, Name = "", parent = 0, args?: unknown[], references?: number[]) => ({
  Id,
  ObjectPathType: type,
  Name,
  ParentObjectPathId: parent,
  ...(args && {
    ArgumentInfo: { Arguments: args, ...(references && { ReferencedObjectPathIds: references }) },
  }),
});

const action = (type: number, object: number, more: Partial<Action> = {}): Action => ({
  Id: 100 + object,
  ActionType: type,
  Name: "",
  ObjectPathId: object,
  ...more,
});

const SHELF = path(1, ObjectPathType.Global);
const BOXES = path(2, ObjectPathType.Property, "Boxes", 1);
const BOX_A = path(3, ObjectPathType.Indexer, "", 2, ["a"]);
const BOX_B = path(4, ObjectPathType.Method, "GetItem", 2, ["b"]);

function run(actions: Action[], extra: ObjectPath[] = [], shelf = new Shelf()): BatchResponse {
  const interpreter = new Interpreter({ global: () => shelf, create: inertObject });
  const paths = [SHELF, BOXES, BOX_A, BOX_B, ...extra];
  return interpreter.execute({
    Actions: actions,
    ObjectPaths: Object.fromEntries(paths.map((each) => [each.Id, each])),
  });
}

const valueOf = (response: BatchResponse, index = 0) => response.Results[index]?.Value;

describe("the interpreter", () => {
  it("instantiates with the id and a reference where the object is kept by one", () => {
    expect(valueOf(run([action(ActionType.Instantiate, 3)]))).toEqual({ Id: "{a}", _ReferenceId: "kept1" });
  });

  it("queries scalars, named properties and items", () => {
    const named = action(ActionType.Query, 3, { QueryInfo: { Select: ["label"] } });
    const items = action(ActionType.Query, 2, { QueryInfo: { Select: ["items/label"], Skip: 1, Top: 1 } });
    const deep = action(ActionType.Query, 1, { QueryInfo: { Select: ["name", "boxes/items/weight"] } });
    const response = run([action(ActionType.Query, 3), named, items, deep]);
    expect(valueOf(response, 0)).toMatchObject({ Label: "a", Weight: 1 });
    expect(valueOf(response, 1)).not.toHaveProperty("Weight");
    expect(valueOf(response, 2)).toMatchObject({ _Items: [{ Label: "b", _Index: 1 }] });
    expect(valueOf(response, 3)).toMatchObject({ Name: "shelf", Boxes: { _Items: [{ Weight: 1 }, {}, {}] } });
  });

  it("calls methods, with other objects as arguments", () => {
    const heavier = action(ActionType.Method, 3, { Name: "Heavier", ArgumentInfo: { Arguments: [4] } });
    const beside = path(5, ObjectPathType.Method, "Beside", 3, [null], [4]);
    const response = run([heavier, action(ActionType.Query, 5)], [beside]);
    expect(valueOf(response, 0)).toBe(5);
    expect(valueOf(response, 1)).toMatchObject({ Label: "a+b" });
  });

  it("sets and updates properties", () => {
    const shelf = new Shelf();
    const set = action(ActionType.SetProperty, 3, { Name: "Weight", ArgumentInfo: { Arguments: [9] } });
    const update = action(ActionType.Update, 4, { ObjectState: { weight: 7, label: "z" } });
    run([set, update], [], shelf);
    expect(shelf.boxes.map(({ Label, Weight }) => [Label, Weight])).toEqual([
      ["a", 9],
      ["z", 7],
      ["c", 1],
    ]);
  });

  it("answers a null object and everything below it with null", () => {
    const nothing = path(5, ObjectPathType.Method, "Missing", 3);
    const below = path(6, ObjectPathType.Property, "Anything", 5);
    const actions = [action(ActionType.Instantiate, 5), action(ActionType.Query, 6)];
    const response = run(actions, [nothing, below]);
    expect(response.Error).toBeNull();
    expect(response.Results.map(({ Value }) => Value)).toEqual([null, null]);
  });

  it("traces, keeps references between batches and forgets them", () => {
    const shelf = new Shelf();
    const interpreter = new Interpreter({ global: () => shelf, create: inertObject });
    const box = new Box("kept");
    const reference = interpreter.keep(box);
    const kept = path(9, ObjectPathType.Reference, reference);
    const request = { Actions: [action(ActionType.Query, 9)], ObjectPaths: { 9: kept } };
    expect(valueOf(interpreter.execute(request))).toMatchObject({ Label: "kept" });
    interpreter.release(reference);
    expect(interpreter.execute(request).Error).toMatchObject({ Code: "InvalidReference" });
    expect(run([action(ActionType.Trace, 0)]).TraceIds).toEqual([100]);
  });

  it("stops at the first error and names its place", () => {
    const refuse = action(ActionType.Method, 3, { Name: "Refuse" });
    const response = run([action(ActionType.Query, 1), refuse, action(ActionType.Query, 1)]);
    expect(response.Results).toHaveLength(1);
    expect(response.Error).toEqual({
      Code: "TooHeavy",
      Message: "The box is too heavy.",
      Location: "Box.refuse",
      ActionIndex: 1,
      HttpStatusCode: 409,
    });
  });

  it("names a member that the host lacks", () => {
    const lacking = [
      action(ActionType.Method, 3, { Name: "Fly" }),
      action(ActionType.Query, 3, { QueryInfo: { Select: ["colour"] } }),
      action(ActionType.SetProperty, 3, { Name: "Height", ArgumentInfo: { Arguments: [1] } }),
    ];
    expect(lacking.map((each) => run([each]).Error)).toMatchObject([
      { Code: "ApiNotFound", Message: "Box.fly is not implemented by this host." },
      { Code: "ApiNotFound", Message: "Box.colour is not implemented by this host." },
      { Code: "ApiNotFound", Message: "Box.height is not implemented by this host." },
    ]);
  });

  it("refuses kinds of action and path that it does not know", () => {
    expect(run([action(8, 1)]).Error).toMatchObject({ Code: "NotImplemented" });
    expect(run([action(1, 5)], [path(5, 12)]).Error).toMatchObject({ Code: "NotImplemented" });
  });
});

describe("the bridge", () => {
  it("answers an address it does not know with 404", () => {
    const sent: string[] = [];
    const interpreter = new Interpreter({ global: () => new Shelf(), create: inertObject });
    const bridge = new Bridge({ interpreter, send: (text) => void sent.push(text) });
    bridge.receive(JSON.stringify({ id: 1, type: 1, message: { url: "Elsewhere", body: "{}" } }));
    expect(JSON.parse(sent[0] ?? "")).toMatchObject({ id: 1, type: 2, message: { statusCode: 404 } });
  });
});

describe("the library's protocol", () => {
  let bench: Workbench;
  beforeAll(async () => {
    bench = await start();
  });
  beforeEach(() => bench.reset());

  it("is the pinned library's", () => {
    const folder = dirname(createRequire(import.meta.url).resolve("@microsoft/office-js/package.json"));
    const { version } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8")) as { version: string };
    expect(version, CHANGED).toBe("1.1.110");
  });

  it("sends the kinds of action and path that the interpreter knows", async () => {
    const from = bench.log.length;
    await Excel.run(async (context) => {
      const sheets = context.workbook.worksheets;
      const sheet = sheets.getItem("Sheet1");
      sheet.load("name");
      sheets.load("items/name");
      const range = sheet.getRange("A1:B1");
      range.values = [[1, 2]];
      range.format.font.set({ bold: true });
      const count = sheets.getCount();
      const event = context.workbook.onSelectionChanged.add(() => Promise.resolve());
      context.trackedObjects.add(range);
      await context.sync();
      expect(count.value, CHANGED).toBe(1);
      expect([sheet.name, sheets.items.length], CHANGED).toEqual(["Sheet1", 1]);
      range.load("values");
      await context.sync();
      expect(range.values, CHANGED).toEqual([[1, 2]]);
      context.trackedObjects.remove(range);
      event.remove();
      await context.sync();
    });
    const requests = bench.log.slice(from).map(({ request }) => request);
    const kinds = new Set(requests.flatMap(({ Actions }) => Actions.map((each) => each.ActionType)));
    const paths = new Set(
      requests.flatMap(({ ObjectPaths }) => Object.values(ObjectPaths).map((each) => each.ObjectPathType)),
    );
    const { Instantiate, Query, Method, SetProperty, Trace } = ActionType;
    for (const kind of [Instantiate, Query, Method, SetProperty, Trace]) {
      expect([...kinds], CHANGED).toContain(kind);
    }
    const { Global, Method: MethodPath, Property, Indexer, Reference } = ObjectPathType;
    for (const type of [Global, MethodPath, Property, Indexer, Reference]) {
      expect([...paths], CHANGED).toContain(type);
    }
  });

  it("carries a host's error to the caller", async () => {
    await Excel.run(async (context) => {
      context.workbook.worksheets.getActiveWorksheet().charts.load("items/name");
      await expect(context.sync(), CHANGED).rejects.toMatchObject({
        code: "ApiNotFound",
        message: "Worksheet.charts is not implemented by this host.",
        debugInfo: { errorLocation: "Worksheet.charts" },
      });
    });
  });

  it("fails the wished batch without executing it", async () => {
    bench.failAt(2);
    await Excel.run(async (context) => {
      const cell = context.workbook.worksheets.getActiveWorksheet().getRange("A1");
      cell.values = [["first"]];
      await context.sync();
      cell.values = [["second"]];
      await expect(context.sync()).rejects.toMatchObject({ code: "GeneralException" });
      expect(bench.value("Sheet1", "A1")).toBe("first");
      cell.values = [["third"]];
      await context.sync();
    });
    expect(bench.value("Sheet1", "A1")).toBe("third");
  });
});
