/**
 * The container of a workbook file (PKWARE's APPNOTE, the part of it that workbooks use). What is not unpacked is
 * carried over packed as it was, so that a picture or a macro costs nothing and cannot change on the way.
 */
import { Deflate, Inflate } from "fflate";
import type { Pieces } from "../../host";

export interface ZipEntry {
  readonly name: string;
  readonly flags: number;
  /** 0: as it is; 8: deflated. */
  readonly method: number;
  /** Date and time as the container has them. */
  readonly time: number;
  readonly crc: number;
  readonly size: number;
  /** In the pieces that it came in: a large part is held once, and never joined. */
  readonly packed: readonly Uint8Array[];
}

/** The bytes are no whole container. */
export class BrokenZip extends Error {
  override readonly name = "BrokenZip";
}

const signature = { local: 0x04034b50, central: 0x02014b50, end: 0x06054b50, end64: 0x06064b50 } as const;
const length = { local: 30, central: 46, end: 22, locator64: 20, longestComment: 0xffff } as const;
/** Stands where the real number is too long for its place and follows in an extra field. */
const elsewhere = 0xffffffff;
const flag = { encrypted: 1, followedBySizes: 8, utf8: 0x800 } as const;
/** What Windows, and so every writer, can be trusted to read. */
const versionNeeded = 20;
/** 1 January 1980, the first day that the container can tell. */
const firstDay = 0x210000;

const broken = (): never => {
  throw new BrokenZip("not a whole zip container");
};

/** Numbers are read through a view that throws beyond its end, which a file cut short runs into. */
function guarded<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    return error instanceof RangeError ? broken() : raise(error);
  }
}

const raise = (error: unknown): never => {
  throw error;
};

const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

const long = (view: DataView, at: number): number =>
  view.getUint32(at, true) + view.getUint32(at + 4, true) * 2 ** 32;

function endRecord(view: DataView): number {
  const last = view.byteLength - length.end;
  for (let at = last; at >= Math.max(0, last - length.longestComment); at--) {
    if (view.getUint32(at, true) === signature.end) return at;
  }
  return broken();
}

function directory(view: DataView): { count: number; at: number } {
  const end = endRecord(view);
  const count = view.getUint16(end + 10, true);
  const at = view.getUint32(end + 16, true);
  if (count !== 0xffff && at !== elsewhere) return { count, at };
  const end64 = long(view, end - length.locator64 + 8);
  if (view.getUint32(end64, true) !== signature.end64) broken();
  return { count: long(view, end64 + 32), at: long(view, end64 + 48) };
}

/** The numbers of a central record that may stand in its extra field instead, in the order they have there. */
function sizes(view: DataView, at: number, extra: number, extraLength: number): readonly number[] {
  const short = [24, 20, 42].map((offset) => view.getUint32(at + offset, true));
  let from = extra;
  while (from + 4 <= extra + extraLength && view.getUint16(from, true) !== 1)
    from += 4 + view.getUint16(from + 2, true);
  let next = from + 4;
  return short.map((number) => {
    if (number !== elsewhere) return number;
    next += 8;
    return next <= extra + extraLength ? long(view, next - 8) : broken();
  });
}

/** Every entry, up to one more than `most`; none is unpacked. */
export const readZip = (bytes: Uint8Array, most: number): readonly ZipEntry[] =>
  guarded(() => {
    const view = viewOf(bytes);
    const entries: ZipEntry[] = [];
    const found = directory(view);
    let at = found.at;
    let packedInAll = 0;
    while (entries.length < Math.min(found.count, most + 1)) {
      if (view.getUint32(at, true) !== signature.central) broken();
      const flags = view.getUint16(at + 8, true);
      const nameLength = view.getUint16(at + 28, true);
      const extraLength = view.getUint16(at + 30, true);
      const extra = at + length.central + nameLength;
      const [size = 0, packedSize = 0, local = 0] = sizes(view, at, extra, extraLength);
      if (view.getUint32(local, true) !== signature.local) broken();
      const data = local + length.local + view.getUint16(local + 26, true) + view.getUint16(local + 28, true);
      packedInAll += packedSize;
      // Entries that share their bytes are how a small file unpacks to a huge one.
      if (data + packedSize > bytes.length || packedInAll > bytes.length) broken();
      entries.push({
        name: new TextDecoder().decode(bytes.subarray(at + length.central, extra)),
        flags,
        method: view.getUint16(at + 10, true),
        time: view.getUint32(at + 12, true),
        crc: view.getUint32(at + 16, true),
        size,
        packed: [bytes.subarray(data, data + packedSize)],
      });
      at = extra + extraLength + view.getUint16(at + 32, true);
    }
    return entries;
  });

export const isEncrypted = ({ flags }: ZipEntry): boolean => (flags & flag.encrypted) !== 0;

const crcTable = Int32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1;
  return rest;
});

/** Bytes that are summed up or packed at a time, in a few milliseconds. */
const bytesAtATime = 0x20000;

/** The sum of what came so far. */
class Crc {
  private rest = -1;

  add(bytes: Uint8Array): void {
    let { rest } = this;
    for (let at = 0; at < bytes.length; at++)
      rest = (rest >>> 8) ^ (crcTable[(rest ^ (bytes[at] ?? 0)) & 0xff] ?? 0);
    this.rest = rest;
  }

  get sum(): number {
    return ~this.rest >>> 0;
  }
}

/** So small that what it can unpack to at once, about a thousand times as much, stays small too. */
const packedAtATime = 0x2000;

function* inPortions(bytes: Uint8Array): Generator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += bytesAtATime) yield bytes.subarray(at, at + bytesAtATime);
}

function* asItIs(pieces: readonly Uint8Array[]): Generator<Uint8Array> {
  for (const piece of pieces) yield* inPortions(piece);
}

function* inflated(packed: readonly Uint8Array[]): Generator<Uint8Array> {
  let ready: Uint8Array[] = [];
  const inflate = new Inflate((piece) => ready.push(piece));
  for (const [i, some] of packed.entries()) {
    const isLast = i === packed.length - 1;
    for (let at = 0; at < some.length; at += packedAtATime) {
      inflate.push(some.subarray(at, at + packedAtATime), isLast && at + packedAtATime >= some.length);
      const pieces = ready;
      ready = [];
      for (const piece of pieces) yield* inPortions(piece);
    }
  }
}

/** Whatever a damaged entry makes the unpacking throw, it says one thing. */
function* guardedPieces(name: string, pieces: Generator<Uint8Array>): Generator<Uint8Array> {
  for (;;) {
    let next: IteratorResult<Uint8Array, unknown>;
    try {
      next = pieces.next();
    } catch (error) {
      throw new BrokenZip(`${name} does not unpack`, { cause: error });
    }
    if (next.done === true) return;
    yield next.value;
  }
}

/** The content of an entry piece by piece, which must be as long and of the sum that the container says. */
export function* unpacking({ name, method, size, crc, packed }: ZipEntry): Generator<Uint8Array> {
  if (method !== 0 && method !== 8) broken();
  const sum = new Crc();
  let length = 0;
  for (const piece of guardedPieces(name, method === 0 ? asItIs(packed) : inflated(packed))) {
    length += piece.length;
    if (length > size) broken();
    sum.add(piece);
    yield piece;
  }
  if (length !== size || sum.sum !== crc) broken();
}

export const bytesIn = (pieces: readonly Uint8Array[]): number =>
  pieces.reduce((sum, { length: more }) => sum + more, 0);

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(bytesIn(pieces));
  let filled = 0;
  for (const piece of pieces) {
    all.set(piece, filled);
    filled += piece.length;
  }
  return all;
}

/** An entry as a whole. */
export function* unpacked(entry: ZipEntry): Pieces<Uint8Array> {
  const pieces: Uint8Array[] = [];
  let length = 0;
  for (const piece of unpacking(entry)) {
    pieces.push(piece);
    length += piece.length;
    yield length / entry.size;
  }
  return joined(pieces);
}

/** How hard is tried to pack tightly: a little longer than at best, in two thirds of the time. */
const packedAs = 4;

/** An entry with new content that comes piece by piece, dated as the one that it replaces. */
export function* packing(name: string, content: Iterable<Uint8Array>, time = firstDay): Pieces<ZipEntry> {
  const packed: Uint8Array[] = [];
  const deflate = new Deflate({ level: packedAs }, (piece) => {
    packed.push(piece);
  });
  const sum = new Crc();
  let size = 0;
  for (const bytes of content) {
    for (const piece of inPortions(bytes)) {
      sum.add(piece);
      size += piece.length;
      deflate.push(piece);
      yield 0;
    }
  }
  deflate.push(new Uint8Array(), true);
  return { name, flags: flag.utf8, method: 8, time, crc: sum.sum, size, packed };
}

/** The fields that a local and a central record have in common. */
function writeCommon(view: DataView, at: number, entry: ZipEntry, nameLength: number): void {
  view.setUint16(at, versionNeeded, true);
  view.setUint16(at + 2, (entry.flags & ~flag.followedBySizes) | flag.utf8, true);
  view.setUint16(at + 4, entry.method, true);
  view.setUint32(at + 6, entry.time, true);
  view.setUint32(at + 10, entry.crc, true);
  view.setUint32(at + 14, bytesIn(entry.packed), true);
  view.setUint32(at + 18, entry.size, true);
  view.setUint16(at + 22, nameLength, true);
}

export function writeZip(entries: readonly ZipEntry[]): Uint8Array {
  const named = entries.map((entry) => ({ entry, name: new TextEncoder().encode(entry.name) }));
  const total = named.reduce<number>(
    (sum, { entry, name }) => sum + length.local + length.central + 2 * name.length + bytesIn(entry.packed),
    length.end,
  );
  const bytes = new Uint8Array(total);
  const view = viewOf(bytes);
  let at = 0;
  const placed = named.map(({ entry, name }) => {
    const local = at;
    view.setUint32(at, signature.local, true);
    writeCommon(view, at + 4, entry, name.length);
    bytes.set(name, at + length.local);
    at += length.local + name.length;
    for (const piece of entry.packed) {
      bytes.set(piece, at);
      at += piece.length;
    }
    return { entry, name, local };
  });
  const central = at;
  for (const { entry, name, local } of placed) {
    view.setUint32(at, signature.central, true);
    view.setUint16(at + 4, versionNeeded, true);
    writeCommon(view, at + 6, entry, name.length);
    view.setUint32(at + 42, local, true);
    bytes.set(name, at + length.central);
    at += length.central + name.length;
  }
  view.setUint32(at, signature.end, true);
  view.setUint16(at + 8, entries.length, true);
  view.setUint16(at + 10, entries.length, true);
  view.setUint32(at + 12, at - central, true);
  view.setUint32(at + 16, central, true);
  return bytes;
}
