// The shape of a catalogue: the English one's, with every literal widened.

import type { en } from "./en";

type Wide<T> = T extends string
  ? string
  : T extends (...args: infer A) => string
    ? (...args: A) => string
    : { readonly [K in keyof T]: Wide<T[K]> };

/** What every language has to say. */
export type Catalogue = Wide<typeof en>;
