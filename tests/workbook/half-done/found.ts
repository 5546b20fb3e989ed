/** Disturbances under which a work has left something wrong before it was mended. */
import type { Disturbed } from "./run";

type Found = Pick<Disturbed, "failsAt" | "isGone" | "edits" | "settle" | "seed">;

const limitWithoutMessage = [9, 16, 23].map((operation): Found => ({
  failsAt: [14, operation],
  isGone: operation === 9,
  edits: [],
  settle: "take back",
  seed: 0,
}));

const found: Readonly<Record<string, readonly Found[]>> = {
  "a hand-over": [
    // What was typed as it was written over was not found again.
    {
      failsAt: [24, 2],
      isGone: false,
      edits: [
        [31, "types into a free cell"],
        [21, "types over a cell"],
        [18, "puts a column in"],
      ],
      settle: "finish",
      seed: 7_001_148,
    },
    ...limitWithoutMessage,
    // What another person moved on a sheet on which nothing was written was put back.
    {
      failsAt: undefined,
      isGone: false,
      edits: [
        [2, "takes a row out"],
        [15, "takes a row out"],
        [29, "puts a row in"],
      ],
      settle: "take back",
      seed: 1_000_279,
    },
    // Cells that a formula filled were left without a word once the formula's own cell was gone.
    {
      failsAt: [28, 2],
      isGone: false,
      edits: [
        [29, "takes a row out"],
        [7, "puts a column in"],
      ],
      settle: "take back",
      seed: 1_000_534,
    },
    // A column that was moved out of the part in use while that was read was not seen.
    {
      failsAt: [19, 3],
      isGone: false,
      edits: [
        [8, "adds a sheet"],
        [11, "types into a free cell"],
        [22, "puts a column in"],
      ],
      settle: "finish",
      seed: 1_000_691,
    },
  ],
  // A value that a formula filled in was given back as a number that stands in the formula's way.
  "a hand-over in short formulas": [
    // What a formula filled in, once it read a row more, was taken for typed.
    {
      failsAt: undefined,
      isGone: true,
      edits: [
        [19, "puts a row in"],
        [4, "renames a sheet"],
      ],
      settle: "finish",
      seed: 16_000_059,
    },

    {
      failsAt: [23, 1],
      isGone: true,
      edits: [
        [14, "takes a row out"],
        [19, "takes a row out"],
      ],
      settle: "finish",
      seed: 1_000_439,
    },
  ],
  // What was written over was not given back where our own formula filled the cell by then.
  // What was written over was neither given back nor owed where the host failed before it came to hold its range.
  "a return of edited cells too": [
    {
      failsAt: [22, 25],
      isGone: true,
      edits: [
        [32, "deletes a sheet"],
        [22, "takes a row out"],
      ],
      settle: "finish",
      seed: 10_000_145,
    },
  ],
  "a return": [
    // What was typed into a cell that a formula had filled was taken for what it fills, and that formula was gone.
    {
      failsAt: [29, 2],
      isGone: false,
      edits: [
        [13, "types over a cell"],
        [24, "types over a cell"],
        [15, "types over a cell"],
      ],
      settle: "take back",
      seed: 9_000_017,
    },
    // A part of what a formula filled was not given back while that formula filled its cell.
    { failsAt: [34, 3], isGone: true, edits: [[23, "puts a row in"]], settle: "take back", seed: 6_000_445 },
    {
      failsAt: undefined,
      isGone: true,
      edits: [
        [19, "takes a row out"],
        [25, "puts a column in"],
        [25, "puts a row in"],
      ],
      settle: "take back",
      seed: 1_000_178,
    },
  ],
  // A sheet that was renamed was not found again.
  "values beside, with their working": [
    { failsAt: [24, 4], isGone: true, edits: [[22, "renames a sheet"]], settle: "finish", seed: 1_000_028 },
  ],
  // It was finished in other rows, and a text sent to a cell of another format became a date.
  "two outlines": [
    // A text that the host had made a date of was sent once more, into the row that somebody had put in meanwhile.
    {
      failsAt: undefined,
      isGone: true,
      edits: [
        [21, "types over a cell"],
        [17, "puts a column in"],
        [19, "puts a row in"],
      ],
      settle: "finish",
      seed: 16_000_401,
    },
    // A text that was sent for another format was not known again: neither as the number that was read in it, nor with
    // the apostrophe that it was sent with.
    {
      failsAt: [18, 1],
      isGone: false,
      edits: [
        [17, "puts a column in"],
        [17, "takes a row out"],
      ],
      settle: "finish",
      seed: 657,
    },
    {
      failsAt: undefined,
      isGone: false,
      edits: [
        [16, "puts a row in"],
        [17, "takes a row out"],
      ],
      settle: "finish",
      seed: 1741,
    },
    // What could not be given back, since its cell had moved by then, was forgotten without a word.
    {
      failsAt: [20, 1],
      isGone: true,
      edits: [
        [8, "deletes a sheet"],
        [22, "puts a column in"],
        [18, "types over a cell"],
      ],
      settle: "finish",
      seed: 13_000_512,
    },
    // What was written before a row came or went was looked for at its old place when it was taken back.
    {
      failsAt: [17, 54],
      isGone: false,
      edits: [
        [15, "renames a sheet"],
        [15, "takes a row out"],
        [19, "takes a row out"],
      ],
      settle: "finish",
      seed: 10_000_394,
    },
    {
      failsAt: [19, 4],
      isGone: false,
      edits: [
        [15, "puts a row in"],
        [14, "adds a sheet"],
        [18, "puts a column in"],
      ],
      settle: "finish",
      seed: 10_000_421,
    },
    {
      failsAt: [19, 11],
      isGone: false,
      edits: [
        [17, "puts a row in"],
        [23, "types over a cell"],
        [25, "takes a row out"],
      ],
      settle: "finish",
      seed: 11_000_338,
    },
    {
      failsAt: undefined,
      isGone: true,
      edits: [
        [20, "puts a column in"],
        [17, "adds a sheet"],
        [16, "takes a row out"],
      ],
      settle: "take back",
      seed: 11_000_196,
    },
    // A formula of theirs that was given back read the rows that it had read before one was taken out.
    {
      failsAt: undefined,
      isGone: false,
      edits: [
        [22, "adds a sheet"],
        [17, "puts a column in"],
        [21, "takes a row out"],
      ],
      settle: "finish",
      seed: 11_000_078,
    },
    { failsAt: [19, 1], isGone: false, edits: [[14, "takes a row out"]], settle: "finish", seed: 1_000_291 },
    {
      failsAt: [23, 2],
      isGone: false,
      edits: [
        [16, "takes a row out"],
        [9, "types into a free cell"],
        [17, "types into a free cell"],
      ],
      settle: "take back",
      seed: 1_000_641,
    },
  ],
  // One cell that somebody wrote to kept all of the rows that were put in.
  "an outline that needs more rows": [
    // A number beside the points that somebody had typed over was written over.
    {
      failsAt: undefined,
      isGone: false,
      edits: [
        [9, "types over a cell"],
        [11, "types over a cell"],
      ],
      settle: "take back",
      seed: 284,
    },
    // Rows were taken out again in the very moment that somebody typed into one.
    {
      failsAt: undefined,
      isGone: false,
      edits: [
        [8, "types over a cell"],
        [14, "types over a cell"],
      ],
      settle: "finish",
      seed: 6_000_046,
    },
    {
      failsAt: undefined,
      isGone: true,
      edits: [[15, "types over a cell"]],
      settle: "take back",
      seed: 1_000_014,
    },
  ],
  // What had moved away with its row or column was left without a word.
  "columns beside a table": [
    { failsAt: undefined, isGone: true, edits: [[18, "puts a row in"]], settle: "finish", seed: 1_000_060 },
    {
      failsAt: undefined,
      isGone: true,
      edits: [
        [21, "puts a column in"],
        [17, "takes a row out"],
      ],
      settle: "take back",
      seed: 1_000_292,
    },
    // A column put in just before the new ones moved them away, and nothing told of it.
    {
      failsAt: [18, 5],
      isGone: true,
      edits: [
        [18, "puts a column in"],
        [21, "renames a sheet"],
        [16, "puts a column in"],
      ],
      settle: "take back",
      seed: 4_000_044,
    },
  ],
  // Refused, and finished all the same later on.
  "a formula put into a cell": [
    { failsAt: [10, 2], isGone: false, edits: [[3, "puts a row in"]], settle: "finish", seed: 1_000_298 },
    // Finished into a cell that was another one by then.
    {
      failsAt: [9, 6],
      isGone: true,
      edits: [
        [8, "takes a row out"],
        [8, "takes a row out"],
        [10, "puts a column in"],
      ],
      settle: "finish",
      seed: 5_000_071,
    },
  ],
  // It was written to cells that held something else by then.
  "a repair": [
    { failsAt: [9, 8], isGone: true, edits: [[4, "takes a row out"]], settle: "finish", seed: 1_000_151 },
    {
      failsAt: undefined,
      isGone: true,
      edits: [[5, "types over a cell"]],
      settle: "finish",
      seed: 1_000_258,
    },
  ],
  "a review carried over": [
    // Where the host failed as that was given back, a column that was put in got what had moved out of its cells.
    {
      failsAt: [15, 1],
      isGone: false,
      edits: [
        [14, "puts a column in"],
        [9, "puts a row in"],
        [18, "types into a free cell"],
      ],
      settle: "finish",
      seed: 13_000_276,
    },
    // Read at places at which something else stood by then.
    ...[3, 4, 5].map((batch): Found => ({
      failsAt: undefined,
      isGone: false,
      edits: [[batch, "puts a row in"]],
      settle: "finish",
      seed: 1_000_298,
    })),
    // What was typed as it was written over was given back to the cell above, since a row was put in that very moment.
    {
      failsAt: [18, 10],
      isGone: false,
      edits: [
        [16, "puts a row in"],
        [14, "types over a cell"],
      ],
      settle: "take back",
      seed: 6_000_249,
    },
  ],
  // Rows that others of the list stood in were taken for its own, moved, and taken out.
  "a third finding set aside": [
    ...[5, 6].map((batch): Found => ({
      failsAt: [9, 3],
      isGone: true,
      edits: [
        [batch, "puts a row in"],
        [batch + 1, "puts a row in"],
      ],
      settle: "finish",
      seed: 9_000_296,
    })),
    // A reference of ours whose cell or sheet was gone, or had another name, was taken for what somebody had typed.
    {
      failsAt: [12, 3],
      isGone: false,
      edits: [
        [11, "types over a cell"],
        [15, "takes a row out"],
        [12, "deletes a sheet"],
      ],
      settle: "finish",
      seed: 13_000_263,
    },
    {
      failsAt: undefined,
      isGone: false,
      edits: [[12, "renames a sheet"]],
      settle: "finish",
      seed: 12_000_134,
    },
  ],
  // Other rows of the list were written anew, with references of before.
  "a finding taken up again": [
    {
      failsAt: undefined,
      isGone: false,
      edits: [
        [5, "takes a row out"],
        [9, "takes a row out"],
        [15, "puts a row in"],
      ],
      settle: "take back",
      seed: 1_000_279,
    },
  ],
};

export const foundBefore = (work: string): readonly Disturbed[] =>
  (found[work] ?? []).map((one) => ({ ...one, second: undefined }));
