/** The ways of handing sheets over where they are. */
export interface Way {
  readonly label: string;
  /** What it does, in one line. */
  readonly told: string;
  /** Whether each cell carries its original. */
  readonly comesBack: boolean;
}

export const handOverWays = {
  "native formulas": {
    label: "As native formulas that can come back",
    told: "Our functions become ordinary formulas that recalculate for anyone. Each cell says what stood there, so they can be brought back, whoever edits the file.",
    comesBack: true,
  },
  "short native formulas": {
    label: "As short native formulas",
    told: "Our functions become ordinary formulas that recalculate for anyone, and nothing else. They cannot be brought back.",
    comesBack: false,
  },
} as const satisfies Readonly<Record<string, Way>>;

export type HandOverWay = keyof typeof handOverWays;
