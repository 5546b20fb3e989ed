/** Formulas as text: the calls in them, what they amount to, what they would be natively, what is too long. */
export { attempt } from "./attempt";
export type { Call } from "./calls";
export type { LimitedInput, Rewritten, Surroundings } from "./rewrite-calls";
export type { Placed } from "./tokens";
export { argumentsFrom, isReference, literalOf, placed, quoted, referenceTypes } from "./tokens";
export { callsElsewhere, callsIn, firstCall, holdsCalls, mayHoldCalls, spillingCall } from "./calls";
export { parameterAt } from "./call-parameters";
export { rewriteNatively, rewriteSpill } from "./rewrite-calls";
export { runningEdition } from "./edition";
export type { Value } from "./evaluate";
export { answerOf, arrangedFor, evaluate, NotFollowed, referencesIn, spillOf } from "./evaluate";
export type { ExplainedArgument, ExplainedCall, ExplainedCell } from "./explain";
export { explainSelectedCell } from "./explain";
export { blockFilledBy, filledPart } from "./filled-part";
export { beyondLimits, longest, noCellHolds, tooMuch } from "./formula-limits";
export { Knowledge } from "./knowledge";
export { asTyped } from "./stored-spelling";
