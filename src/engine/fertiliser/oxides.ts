/** Standard atomic weights (IUPAC): what a mole of each element weighs, in g. */
const atomicWeight = { phosphorus: 30.973762, potassium: 39.0983, oxygen: 15.999 } as const;

const shareOf = (element: number, elements: number, oxygens: number): number =>
  (elements * element) / (elements * element + oxygens * atomicWeight.oxygen);

/** What part of the oxide that a grade is stated in is the element itself. */
export const oxides = {
  phosphorusInPhosphate: shareOf(atomicWeight.phosphorus, 2, 5),
  potassiumInPotash: shareOf(atomicWeight.potassium, 2, 1),
} as const;
