import { apiNotFound, HostError } from "./host-error";
import { ActionType, ObjectPathType } from "./wire";
import type { Action, ArgumentInfo, BatchRequest, BatchResponse, QueryInfo } from "./wire";
import { isCollection, isWireObject } from "./wire-object";
import type { WireObject } from "./wire-object";

export interface InterpreterOptions {
  /** What a batch's global object path means: for Excel, the workbook. */
  global: () => WireObject;
  /** Answers `new` object paths by their type name. */
  create: (type: string) => WireObject;
}

const capital = (name: string) => name.charAt(0).toUpperCase() + name.slice(1);
const small = (name: string) => name.charAt(0).toLowerCase() + name.slice(1);

/** Executes rich-API batches on any tree of wire objects. */
export class Interpreter {
  private readonly kept = new Map<string, WireObject>();
  private readonly referenceOf = new WeakMap<WireObject, string>();
  private nextReference = 1;

  constructor(private readonly options: InterpreterOptions) {}

  get keptReferences(): number {
    return this.kept.size;
  }

  get keptObjects(): readonly WireObject[] {
    return [...this.kept.values()];
  }

  forgetReferences(): void {
    this.kept.clear();
  }

  keep(object: WireObject): string {
    let reference = this.referenceOf.get(object);
    if (!reference) {
      reference = `kept${this.nextReference++}`;
      this.referenceOf.set(object, reference);
    }
    this.kept.set(reference, object);
    return reference;
  }

  referenced(reference: string): WireObject {
    const object = this.kept.get(reference);
    if (!object) {
      throw new HostError("InvalidReference", "This reference is not valid for the current operation.");
    }
    return object;
  }

  release(reference: string): void {
    this.kept.delete(reference);
  }

  create(type: string): WireObject {
    return this.options.create(type);
  }

  global(): WireObject {
    return this.options.global();
  }

  /** Executes a batch; what `before` throws at an operation, counted from 1, ends it there. */
  execute(request: BatchRequest, before?: (operation: number) => void): BatchResponse {
    return new Batch(this, request, before).run();
  }
}

/** One batch: object paths are resolved once, and the first error ends it. */
class Batch {
  private readonly resolved = new Map<string, WireObject | null>();
  private readonly response: BatchResponse = { Error: null, Results: [], TraceIds: [] };
  private location = "";

  constructor(
    private readonly interpreter: Interpreter,
    private readonly request: BatchRequest,
    private readonly before?: (operation: number) => void,
  ) {}

  run(): BatchResponse {
    for (const [index, action] of this.request.Actions.entries()) {
      try {
        this.before?.(index + 1);
        this.response.Results.push({ ActionId: action.Id, Value: this.perform(action) });
      } catch (reason) {
        const error =
          reason instanceof HostError
            ? reason
            : new HostError(
                "GeneralException",
                reason instanceof Error ? reason.message : String(reason),
                500,
              );
        this.response.Error = {
          Code: error.code,
          Message: error.message,
          Location: this.location,
          ActionIndex: index,
          HttpStatusCode: error.status,
        };
        break;
      }
    }
    return this.response;
  }

  private perform(action: Action): unknown {
    switch (action.ActionType) {
      case ActionType.Instantiate: {
        const object = this.resolve(action.ObjectPathId);
        return object && this.identity(object, this.isHeld(action));
      }
      case ActionType.Query:
      case ActionType.QueryAsJson:
        return this.query(this.resolve(action.ObjectPathId), action.QueryInfo ?? {}, this.isHeld(action));
      case ActionType.Method:
        return this.invoke(action);
      case ActionType.SetProperty:
        this.assign(this.resolve(action.ObjectPathId), action.Name, this.arguments(action.ArgumentInfo)[0]);
        return null;
      case ActionType.Update:
        this.update(this.resolve(action.ObjectPathId), action.ObjectState ?? {});
        return null;
      case ActionType.Trace:
        this.response.TraceIds.push(action.Id);
        return null;
      case ActionType.EnsureUnchanged:
        return null;
      default:
        throw new HostError(
          "NotImplemented",
          `Action type ${action.ActionType} is not implemented by this host.`,
          501,
        );
    }
  }

  private invoke(action: Action): unknown {
    const object = this.resolve(action.ObjectPathId);
    if (!object) return null;
    const values = this.arguments(action.ArgumentInfo);
    switch (action.Name) {
      case "_KeepReference":
        return this.interpreter.keep(object);
      case "_RemoveReference":
        this.interpreter.release(String(values[0]));
        return null;
      case "_RemoveAllReferences":
        this.interpreter.forgetReferences();
        return null;
      default:
        return this.member(object, action.Name, values) ?? null;
    }
  }

  private resolve(id: number | string): WireObject | null {
    const key = String(id);
    const known = this.resolved.get(key);
    if (known !== undefined) return known;
    const object = this.follow(key);
    this.resolved.set(key, object);
    return object;
  }

  private follow(id: string): WireObject | null {
    const path = this.request.ObjectPaths[id];
    if (!path) throw new HostError("InvalidRequest", `The batch names no object path ${id}.`);
    switch (path.ObjectPathType) {
      case ObjectPathType.Global:
        return this.interpreter.global();
      case ObjectPathType.New:
        return this.interpreter.create(path.Name);
      case ObjectPathType.Null:
        return null;
      case ObjectPathType.Reference:
        return this.interpreter.referenced(path.Name);
      case ObjectPathType.Property:
      case ObjectPathType.Method:
      case ObjectPathType.Indexer: {
        const parent = this.resolve(path.ParentObjectPathId);
        if (!parent) return null;
        const name = path.ObjectPathType === ObjectPathType.Indexer ? "GetItem" : path.Name;
        const found = this.member(parent, name, this.arguments(path.ArgumentInfo));
        if (found === null || found === undefined) return null;
        if (!isWireObject(found)) throw apiNotFound(`${parent.$type}.${small(name)} as an object`);
        return found;
      }
      default:
        throw new HostError(
          "NotImplemented",
          `Object path type ${path.ObjectPathType} is not implemented by this host.`,
          501,
        );
    }
  }

  private arguments(info: ArgumentInfo | undefined): unknown[] {
    return (info?.Arguments ?? []).map((value, index) => {
      const id = info?.ReferencedObjectPathIds?.[index];
      return id ? this.resolve(id) : value;
    });
  }

  private locate(object: WireObject, name: string): void {
    this.location = `${object.$type}.${small(name)}`;
    if (!(name in object)) throw apiNotFound(this.location);
  }

  private member(object: WireObject, name: string, values: unknown[]): unknown {
    this.locate(object, name);
    const found: unknown = Reflect.get(object, name, object);
    if (typeof found !== "function") return found;
    // The library sends null for a parameter that was left out.
    const given = values.map((value) => value ?? undefined);
    return Reflect.apply(found, object, given) as unknown;
  }

  private assign(object: WireObject | null, name: string, value: unknown): void {
    if (!object) return;
    this.locate(object, name);
    if (!Reflect.set(object, name, value, object)) throw apiNotFound(`Setting ${this.location}`);
  }

  private update(object: WireObject | null, state: Record<string, unknown>): void {
    for (const [name, value] of Object.entries(state)) this.assign(object, capital(name), value);
  }

  private isHeld({ ObjectPathId }: Action): boolean {
    return this.request.ObjectPaths[String(ObjectPathId)]?.D !== true;
  }

  private identity(object: WireObject, isHeld = true): Record<string, unknown> {
    const answer: Record<string, unknown> = {};
    if (object.$keepsReference && isHeld) answer._ReferenceId = this.interpreter.keep(object);
    if ("Id" in object && object.Id !== undefined) answer.Id = object.Id;
    return answer;
  }

  /** Answers a load: plain names read scalars, names with a slash descend, and a collection lists its items. */
  private query(object: WireObject | null, info: QueryInfo, isHeld = true): Record<string, unknown> | null {
    if (!object) return null;
    const answer = this.identity(object, isHeld);
    const deeper = new Map<string, string[]>();
    const descend = (name: string, rest?: string) => {
      const names = deeper.get(name) ?? [];
      if (rest) names.push(rest);
      deeper.set(name, names);
    };
    const items = isCollection(object);
    for (const selected of selectedNames(info, items, object.$scalars)) {
      const [head = "", ...rest] = selected.split("/");
      const name = capital(head);
      if (items && head !== "items" && rest.length && !(name in object)) descend("Items", selected);
      else if (rest.length) descend(name, rest.join("/"));
      else if (head === "items") descend("Items");
      else if (head === "*" || head === "$all") {
        if (items) descend("Items");
        for (const scalar of object.$scalars) answer[scalar] = this.member(object, scalar, []);
      } else if (items && !(name in object)) descend("Items", head);
      else {
        const value = this.member(object, name, []);
        if (isWireObject(value)) descend(name);
        else answer[name] = value;
      }
    }
    for (const [name, names] of deeper) {
      if (name === "Items" && items) {
        const from = info.Skip ?? 0;
        const listed = object.$items().slice(from, info.Top === undefined ? undefined : from + info.Top);
        answer._Items = listed.map((item, index) => ({
          ...this.query(item, { Select: names }),
          _Index: from + index,
        }));
      } else {
        const child = this.member(object, name, []);
        answer[name] = this.query(isWireObject(child) ? child : null, { Select: names });
      }
    }
    return answer;
  }
}

function selectedNames(info: QueryInfo, items: boolean, scalars: readonly string[]): readonly string[] {
  const select = info.Select ?? [];
  const expand = (info.Expand ?? []).filter((name) => !select.some((other) => other.startsWith(name)));
  const names = [...select, ...expand].filter((name) => name !== "$none");
  if (names.length) return names;
  return items ? ["*"] : scalars;
}
