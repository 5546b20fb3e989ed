/** The text that the Office.js rich API and its host exchange, as version 1.1.110 of the library speaks it. */

export const ObjectPathType = {
  Global: 1,
  New: 2,
  Method: 3,
  Property: 4,
  Indexer: 5,
  Reference: 6,
  Null: 7,
} as const;

export const ActionType = {
  Instantiate: 1,
  Query: 2,
  Method: 3,
  SetProperty: 4,
  Trace: 5,
  EnsureUnchanged: 6,
  QueryAsJson: 7,
  RecursiveQuery: 8,
  Update: 9,
} as const;

export interface ArgumentInfo {
  Arguments?: unknown[];
  ReferencedObjectPathIds?: (number | string | null)[];
}

export interface ObjectPath {
  Id: number;
  ObjectPathType: number;
  Name: string;
  ParentObjectPathId: number;
  ArgumentInfo?: ArgumentInfo;
  /** Set where the library has let go of the object: it is not to be kept beyond the request. */
  D?: boolean;
}

export interface QueryInfo {
  Select?: string[];
  Expand?: string[];
  Skip?: number;
  Top?: number;
}

export interface Action {
  Id: number;
  ActionType: number;
  Name: string;
  ObjectPathId: number;
  ArgumentInfo?: ArgumentInfo;
  QueryInfo?: QueryInfo;
  ObjectState?: Record<string, unknown>;
}

export interface BatchRequest {
  Actions: Action[];
  ObjectPaths: Record<string, ObjectPath>;
}

export interface BatchError {
  Code: string;
  Message: string;
  Location: string;
  ActionIndex: number;
  HttpStatusCode: number;
}

export interface BatchResponse {
  Error: BatchError | null;
  Results: { ActionId: number; Value: unknown }[];
  TraceIds: number[];
}

export interface RequestMessage {
  id: number | string;
  type: number;
  flags?: number;
  controlId?: string;
  message: { url: string; body: string | BatchRequest };
}

export const MessageType = { Request: 1, Response: 2, Events: 3 } as const;

/** Category of an event entry in a `MessageType.Events` message. */
export const EventCategory = 65536;
