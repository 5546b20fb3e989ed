/**
 * What a work is about to do stands in the workbook before it is done, among the add-in's settings there. A host that
 * fails part of the way, or a pane that is closed, leaves it behind, so that the work can be finished or taken back.
 */
import type { Range, RequestContext, Setting } from "../host";
import type { HeldName, HeldRun } from "./held-names";
import { addHeldName, askHeldNames, dropHeldNames } from "./held-names";
import { forgetMark, isOwnMark, rememberMark } from "./own-marks";
import { forgetOwed } from "./owed";
import type { CellStep, Step } from "./step";

/** The works that write into a workbook, as they are told of. */
export const works = {
  bid: "Writing the bid sheets",
  outlines: "Bringing outlines in",
  "hand-over": "Handing over",
  return: "Bringing the functions back",
  beside: "Adding sheets with values",
  findings: "Listing the findings on a sheet",
  "set-aside": "Keeping what was set aside",
  columns: "Adding columns to a table",
  put: "Putting a formula into a cell",
  repair: "Entering formulas again",
  drawing: "Putting a drawing on its sheet",
  review: "Carrying the review over",
} as const;
export type WorkId = keyof typeof works;

const prefix = "Swardsheet work ";

/** What is kept of a work besides its steps. */
export interface Head {
  readonly work: WorkId;
  /** What the work is done anew with, where that finishes it. */
  readonly again?: unknown;
  /** Set once every part of it stands among the steps, so that the steps alone can finish it. */
  readonly isWhole?: boolean;
}

export interface Marked extends Head {
  readonly id: string;
  readonly steps: readonly Step[];
}

/** Works of this pane that are at it now: not to be offered as left behind. */
const running = new Set<string>();

const newId = (): string =>
  Array.from({ length: 3 }, () => Math.floor(Math.random() * 46_656).toString(36)).join("");

/** So many letters of a mark stand in the workbook at most: settings are no place for megabytes. */
const mostKept = 1_000_000;

const noWayBack: Step = { kind: "no way back" };

/** The mark of one work while it goes on. */
export class Mark {
  readonly id = newId();
  private held: readonly Step[] = [];
  private kept = 0;
  private letters = 0;
  private names = 0;
  /** Those of works that are done. */
  private past: readonly HeldName[] = [];

  constructor(
    private readonly context: RequestContext,
    private head: Head,
  ) {
    running.add(this.id);
  }

  get steps(): readonly Step[] {
    return this.held;
  }

  /** Whether anything of it may stand in the workbook. */
  get isKept(): boolean {
    return this.kept > 0;
  }

  private key(at: number): string {
    return `${prefix}${this.id} ${at}`;
  }

  /** What is written next stands in this range, also where it moves while nobody sees it. */
  holds(run: HeldRun, range: Range): void {
    if (this.names === 0) dropHeldNames(this.context, this.past);
    addHeldName(this.context, this.id, this.names++, run, range);
  }

  /** The pane itself knows every step; what is too much for the workbook can only be finished from there. */
  private async keepStep(at: number, step: Step): Promise<void> {
    this.letters += JSON.stringify(step).length;
    await this.keep(at, this.letters > mostKept ? noWayBack : step);
  }

  private async keep(at: number, value: object): Promise<void> {
    this.context.workbook.settings.add(this.key(at), JSON.stringify(value));
    this.kept = Math.max(this.kept, at + 1);
    await this.context.sync();
  }

  /** Says what is about to be done. */
  async step(...steps: readonly Step[]): Promise<void> {
    if (this.kept === 0) {
      rememberMark(this.id);
      const remains = askRemains(this.context);
      await this.keep(0, this.head);
      this.past = remains().names;
    }
    for (const one of steps) {
      this.held = [...this.held, one];
      await this.keepStep(this.held.length, one);
    }
  }

  /** Cells that were left as they were are no part of what is taken back. */
  async leaves(
    left: readonly (Pick<CellStep, "row" | "column"> & { readonly sheet: string })[],
  ): Promise<void> {
    const places = new Set(left.map(({ sheet, row, column }) => `${sheet} ${row} ${column}`));
    const isLeft = (sheet: string, { row, column, format }: CellStep): boolean =>
      format === undefined && places.has(`${sheet} ${row} ${column}`);
    for (const [i, step] of this.held.entries()) {
      if (step.kind !== "cells") continue;
      const cells = step.cells.filter((cell) => !isLeft(step.sheet, cell));
      if (cells.length === step.cells.length) continue;
      this.held = this.held.map((one) => (one === step ? { ...step, cells } : one));
      await this.keepStep(i + 1, { ...step, cells });
    }
  }

  /** What the work is done anew with; told before its first step. */
  isDoneAnewWith(again: unknown): void {
    this.head = { ...this.head, again };
  }

  /** Every part of the work has been said: its steps can finish it. */
  async isWhole(): Promise<void> {
    this.head = { ...this.head, isWhole: true };
    await this.keep(0, this.head);
  }

  /** Says more of the last step, once more is known. */
  async last(one: Step): Promise<void> {
    this.held = [...this.held.slice(0, -1), one];
    await this.keepStep(this.held.length, one);
  }

  /** The steps from a number on are taken back. */
  async forget(from: number): Promise<void> {
    for (let at = from; at < this.held.length; at++) {
      this.context.workbook.settings.getItemOrNullObject(this.key(at + 1)).delete();
    }
    await this.context.sync();
    this.held = this.held.slice(0, from);
  }

  /** The work is done, or nothing of it is left. */
  async clear(): Promise<void> {
    if (this.kept === 0) return;
    await clearSettings(this.context, this.id);
    this.kept = 0;
  }

  /** The pane is at it no more, whatever has become of it. */
  end(): void {
    running.delete(this.id);
  }
}

/** The ids of what was just added, as far as the host came to say them. */
export const idsOf = (added: readonly { readonly id: string }[]): readonly string[] =>
  added.flatMap((one) => {
    try {
      return [one.id];
    } catch {
      return [];
    }
  });

interface KeptPart {
  readonly id: string;
  /** 0 for the head, then the steps. */
  readonly at: number;
  readonly setting: Setting;
}

/**
 * Asks for all that the workbook keeps of works; it is there once that is answered. What each part says may be long, and is
 * read only where it is asked for.
 */
function askKeptParts(
  context: RequestContext,
  asked: "items/key" | "items/key,items/value" = "items/key",
): () => readonly KeptPart[] {
  const { settings } = context.workbook;
  settings.load(asked);
  return () =>
    settings.items.flatMap((setting) => {
      const [id, at] = setting.key.startsWith(prefix) ? setting.key.slice(prefix.length).split(" ") : [];
      return id === undefined || at === undefined ? [] : [{ id, at: Number(at), setting }];
    });
}

interface Remains {
  readonly parts: readonly KeptPart[];
  readonly names: readonly HeldName[];
}

/** Asks for what belongs to no work that goes on or was left behind. */
function askRemains(context: RequestContext): () => Remains {
  const [askedNames, askedParts] = [askHeldNames(context), askKeptParts(context)];
  return () => {
    const parts = askedParts();
    const ids = new Set([...running, ...parts.flatMap(({ id, at }) => (at === 0 ? [id] : []))]);
    const isNone = ({ id }: { readonly id: string }): boolean => !ids.has(id);
    return { parts: parts.filter(isNone), names: askedNames().filter(isNone) };
  };
}

async function clearSettings(context: RequestContext, id: string): Promise<void> {
  const asked = askKeptParts(context);
  await context.sync();
  const own = asked().filter((part) => part.id === id);
  // The head goes first: whatever becomes of the rest, nothing is offered any more.
  for (const { setting } of [...own].sort((one, other) => one.at - other.at)) setting.delete();
  await context.sync();
  forgetMark(id);
  forgetOwed(id);
}

/** Nothing is said any more of a work that was taken back, finished or left. */
export async function clearMark(context: RequestContext, id: string): Promise<void> {
  const names = askHeldNames(context);
  await clearSettings(context, id);
  dropHeldNames(
    context,
    names().filter((one) => one.id === id),
  );
  await context.sync();
}

const isObject = (value: unknown): value is object => typeof value === "object" && value !== null;

function read(value: unknown): object | undefined {
  try {
    const told: unknown = JSON.parse(String(value));
    return isObject(told) ? told : undefined;
  } catch {
    return undefined;
  }
}

const isHead = (value: object | undefined): value is Head =>
  value !== undefined && "work" in value && typeof value.work === "string" && value.work in works;
const isStep = (value: object | undefined): value is Step =>
  value !== undefined && "kind" in value && typeof value.kind === "string";

/** The marks of works that nobody is at any more. */
export async function marksLeft(context: RequestContext): Promise<readonly Marked[]> {
  const parts = new Map<string, Map<number, object | undefined>>();
  const asked = askKeptParts(context, "items/key,items/value");
  await context.sync();
  for (const { id, at, setting } of asked()) {
    if (running.has(id) || !isOwnMark(id)) continue;
    const one = parts.get(id) ?? new Map<number, object | undefined>();
    one.set(at, read(setting.value));
    parts.set(id, one);
  }
  return [...parts].flatMap(([id, kept]) => {
    const head = kept.get(0);
    const steps = [...kept]
      .filter(([at]) => at > 0)
      .sort(([a], [b]) => a - b)
      .flatMap(([, step]) => (isStep(step) ? [step] : []));
    return isHead(head) ? [{ ...head, id, steps }] : [];
  });
}

/** Steps and names whose head is gone already belong to nothing. */
export async function clearRemains(context: RequestContext): Promise<void> {
  const asked = askRemains(context);
  await context.sync();
  const { parts, names } = asked();
  for (const { setting } of parts) setting.delete();
  dropHeldNames(context, names);
  await context.sync();
}
