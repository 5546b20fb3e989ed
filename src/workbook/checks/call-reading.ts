/** Cells and calls as a check asks for them, and what calls are given. Whatever is asked is noted. */
import type { WorksheetFunction } from "../../engine/formula";
import { Refusal } from "../../engine/refusal";
import { functionNamed } from "../../engine/catalogue";
import { givesOneValue, unitsPosition } from "../../engine/formula";
import type { UnitSystem } from "../../engine/units";
import type { Value } from "../formulas";
import { evaluate, NotFollowed } from "../formulas";
import type { Block } from "../host";
import type { At } from "../tables";
import type { SeenArgument, SeenCall } from "./seen";
import { SeenCell } from "./seen";
import type { ArgumentShape, CallShape, ReferenceShape } from "./shapes";
import { placed } from "./shapes";
import type { CellKey, Survey, SurveyedSheet } from "./survey";
import { within } from "./survey";

/** What a check's answer rests on: a cell, or something about a whole sheet or the whole workbook. */
export type Ground =
  | CellKey
  | `layout ${number}`
  | `column ${number} ${number}`
  | `calls ${string}`
  | `gives ${string} ${number}`
  | UsersGround;
type UsersGround = `users ${CellKey}`;

/** A larger block is worked through by the spreadsheet alone. */
const mostRead = 5000;

function systemOf(definition: WorksheetFunction, given: readonly SeenArgument[]): UnitSystem {
  const units = given[unitsPosition(definition)]?.value;
  return typeof units === "string" && units.toLowerCase() === "metric" ? "metric" : "us";
}

export class CallReading {
  constructor(
    protected readonly survey: Survey,
    /** The day of the check, as a sheet counts days. */
    readonly today: number,
    protected readonly note: (ground: Ground) => void,
  ) {}

  cell(sheet: SurveyedSheet, at: At): SeenCell {
    this.note(sheet.keyOf(at));
    return new SeenCell(sheet, at.row, at.column);
  }

  /** The call of a cell with what it is given. */
  call(cell: SeenCell, { id, definition, given }: CallShape): SeenCall {
    const arguments_ = given.map((shape) => this.argument(cell, shape));
    return { id, definition, cell, system: systemOf(definition, arguments_), given: arguments_ };
  }

  /** A function down the rows of a sheet, a call for each row. */
  *rowsOf({ cell, given: [name, ...columns] }: SeenCall): Generator<SeenCall> {
    const definition = typeof name?.value === "string" ? functionNamed(name.value) : undefined;
    if (definition === undefined || !givesOneValue(definition)) return;
    const blocks = columns.map((column) => {
      const [reference] = column.references;
      const isDown =
        column.shape.kind === "reference" && column.cell === undefined && reference !== undefined;
      return isDown ? this.blockOf(cell, reference) : undefined;
    });
    const height = Math.max(0, ...blocks.map((block) => block?.length ?? 0));
    for (let row = 0; row < height; row++) {
      const given = columns.map((column, i): SeenArgument => {
        const one = blocks[i]?.[row];
        return one === undefined ? column : { ...column, cell: one, value: one.value };
      });
      const at = this.cell(cell.sheet, { row: cell.row + row, column: cell.column });
      yield { id: definition.id, definition, cell: at, system: systemOf(definition, given), given };
    }
  }

  private target(home: SurveyedSheet, { sheet }: ReferenceShape): SurveyedSheet | undefined {
    return sheet === undefined ? home : this.survey.sheet(sheet);
  }

  private argument(home: SeenCell, shape: ArgumentShape): SeenArgument {
    switch (shape.kind) {
      case "left out":
        return { shape, value: null, cell: undefined, references: [] };
      case "literal":
        return { shape, value: shape.value, cell: undefined, references: [] };
      case "reference": {
        const references = [shape.reference];
        const cell = this.single(home, shape.reference);
        const value = cell === undefined ? this.valueOf(home, shape.reference) : cell.value;
        return { shape, value, cell, references };
      }
      case "worked out": {
        const references = [...shape.references.values()];
        const lookup = (text: string): Value => {
          const reference = shape.references.get(text);
          const value = reference === undefined ? undefined : this.valueOf(home, reference);
          if (value === undefined) throw new NotFollowed(text);
          return value;
        };
        return { shape, value: this.worked(shape.text, lookup), cell: undefined, references };
      }
    }
  }

  private worked(text: string, lookup: (reference: string) => Value): Value | undefined {
    try {
      return evaluate(text, lookup);
    } catch (error) {
      if (error instanceof NotFollowed || error instanceof Refusal || error instanceof SyntaxError)
        return undefined;
      throw error;
    }
  }

  private single(home: SeenCell, reference: ReferenceShape): SeenCell | undefined {
    const sheet = this.target(home.sheet, reference);
    const { top, left, bottom, right } = placed(reference, home);
    return sheet !== undefined && top === bottom && left === right
      ? this.cell(sheet, { row: top, column: left })
      : undefined;
  }

  private valueOf(home: SeenCell, reference: ReferenceShape): Value | undefined {
    const sheet = this.target(home.sheet, reference);
    if (sheet === undefined) return undefined;
    const single = this.single(home, reference);
    if (single !== undefined) return single.value;
    const block = placed(reference, home);
    if ((block.bottom - block.top) * (block.right - block.left + 1) > mostRead) return undefined;
    return Array.from({ length: block.bottom - block.top + 1 }, (_, down) =>
      Array.from(
        { length: block.right - block.left + 1 },
        (_column, across) => this.cell(sheet, { row: block.top + down, column: block.left + across }).value,
      ),
    );
  }

  /** The cells that an argument is made from, single ones only. */
  cellsOf(home: SeenCell, { references }: SeenArgument): readonly SeenCell[] {
    return references.flatMap((reference) => this.single(home, reference) ?? []);
  }

  /** The cells behind a reference, where they are few enough to be gone through. */
  blockOf(home: SeenCell, reference: ReferenceShape): readonly SeenCell[] {
    const sheet = this.target(home.sheet, reference);
    const block: Block = placed(reference, home);
    if (sheet === undefined || (block.bottom - block.top) * (block.right - block.left + 1) > mostRead)
      return [];
    return [...within(block)].map((at) => this.cell(sheet, at));
  }
}
