/** Work over formulas that may have no native form, or that cannot be followed. */
import { NoNativeForm } from "../../engine/native/pieces";
import { Refusal } from "../../engine/refusal";
import { NotFollowed } from "./evaluate";
import { asSentence } from "../host";

/** Why a formula cannot be converted; anything else is a fault of ours and goes up. */
const reasons = [NoNativeForm, SyntaxError, NotFollowed, Refusal];

/** Runs work that may find a formula without a form; answers why, where it does. */
export function attempt<T>(work: () => T): T | { readonly why: string } {
  try {
    return work();
  } catch (error) {
    if (reasons.some((reason) => error instanceof reason)) return { why: asSentence(error) };
    throw error;
  }
}
