/**
 * An object the host hands to the library. Its members carry the wire's own names (PascalCase): a getter
 * answers a property, a setter takes one, a method is called with the arguments as sent.
 */
export interface WireObject {
  readonly $type: string;
  /** The properties a load without names answers. */
  readonly $scalars: readonly string[];
  /** Set for objects that the library keeps by reference between batches. */
  readonly $keepsReference?: boolean;
}

export interface WireCollection extends WireObject {
  $items(): readonly WireObject[];
}

export const isWireObject = (value: unknown): value is WireObject =>
  typeof value === "object" && value !== null && "$type" in value;

export const isCollection = (value: WireObject): value is WireCollection => "$items" in value;

/** Stands for services a pane asks for at start-up (ribbon, runtime) that a spreadsheet has no answer to. */
export function inertObject(type: string): WireObject {
  const own: WireObject = { $type: type, $scalars: [] };
  return new Proxy(own, {
    has: () => true,
    get: (target, name) =>
      typeof name !== "string" || name.startsWith("$") || name === "Id"
        ? (Reflect.get(target, name) as unknown)
        : () => null,
  });
}
