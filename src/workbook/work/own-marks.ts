/**
 * Which marks this pane has set itself, kept on this machine alone. A file may come from anyone, and what it says was
 * being done in it is believed only where it was done here.
 */
const place = "swardsheet works";

/** For a host that keeps nothing for its pages. */
let inMemory: readonly string[] = [];

function read(): readonly string[] {
  try {
    const told: unknown = JSON.parse(localStorage.getItem(place) ?? "[]");
    return Array.isArray(told) ? told.map(String) : [];
  } catch {
    return inMemory;
  }
}

function write(ids: readonly string[]): void {
  inMemory = ids;
  try {
    localStorage.setItem(place, JSON.stringify(ids));
  } catch {
    // Without it, a pane that is opened again offers nothing: what was done can be undone by hand.
  }
}

export const isOwnMark = (id: string): boolean => read().includes(id);

export const rememberMark = (id: string): void => write([...read().filter((one) => one !== id), id]);

export const forgetMark = (id: string): void => write(read().filter((one) => one !== id));
