/**
 * Which marks this pane has set itself, kept on this machine alone. A file may come from anyone, and what it says was
 * being done in it is believed only where it was done here.
 */
import { Kept } from "./kept";

const areIds = (told: unknown): told is readonly string[] =>
  Array.isArray(told) && told.every((one) => typeof one === "string");

const ids = new Kept<readonly string[]>("swardsheet works", areIds, []);

export const isOwnMark = (id: string): boolean => ids.read().includes(id);

export const rememberMark = (id: string): void => ids.write([...ids.read().filter((one) => one !== id), id]);

export const forgetMark = (id: string): void => ids.write(ids.read().filter((one) => one !== id));
