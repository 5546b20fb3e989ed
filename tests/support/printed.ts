/** A printed figure is right to half of its last decimal: how many it has. */
export const decimalsOf = (printed: number): number => String(printed).split(".")[1]?.length ?? 6;
