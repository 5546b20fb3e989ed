import type { Source } from "../formula";

export const labelArithmetic: Source = {
  title: "Arithmetic of rate, concentration and area; the rate itself comes from the label the user holds",
  publisher: "common practice",
};
