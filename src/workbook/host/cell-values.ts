/** What a cell can show. */

export type Scalar = number | string | boolean | null;

/** The errors that hosts show, by name: other texts may begin with the same sign, such as the number of an order. */
const errors: ReadonlySet<unknown> = new Set(
  "#NULL! #DIV/0! #VALUE! #REF! #REF #NAME? #NUM! #N/A #GETTING_DATA #SPILL! #CALC! #BUSY! #FIELD! #BLOCKED! #CONNECT! #UNKNOWN! #EXTERNAL! #PYTHON! #TIMEOUT! #DATA! #ERROR #BAD_EXPR #CYCLE".split(
    " ",
  ),
);

/** Whether a value reads like an error, such as #DIV/0! or #N/A: a text may, and only the host tells the two apart. */
export const readsLikeError = (value: unknown): boolean => errors.has(value);
