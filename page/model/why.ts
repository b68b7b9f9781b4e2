// Why something cannot be done: a key of the catalogue of words with its values. The model knows
// no words; who shows a refusal looks the key up.

import type { Id } from "./doc";

/** Why names one reason; edges are numbered from 1, as people count, lengths are metres. */
export type Why =
  /** The member that is named is not (or no longer) there. */
  | { readonly key: "gone"; readonly id: Id }
  /** Something stands there that the change did not expect. */
  | { readonly key: "changed"; readonly id: Id; readonly field: string }
  /** A member with this id is there already. */
  | { readonly key: "twice"; readonly id: Id }
  /** Two edges of an outline would cross or touch. */
  | { readonly key: "crosses"; readonly first: number; readonly second: number }
  /** An edge would fold back on its neighbour, or have no length. */
  | { readonly key: "flat"; readonly edge: number }
  /** The outline would turn inside out. */
  | { readonly key: "inside out" }
  /** An outline needs three corners. */
  | { readonly key: "few corners"; readonly least: number }
  /** The outline comes from a tape survey; its lengths are changed there. */
  | { readonly key: "taped" }
  /** A number is out of what it may be. */
  | { readonly key: "number"; readonly field: string; readonly least: number; readonly most: number }
  /** A name that another one bears. */
  | { readonly key: "name"; readonly name: string }
  /** The fall has no such part: a line without ridge, hip or valley, an arrow on a level deck. */
  | { readonly key: "no fall" }
  /** The walk does not make an outline; side and corner as they are called. */
  | { readonly key: "walk"; readonly part: "short" | "open" | "turns" | "length" | "turn" | "arc"; readonly at: number;
    readonly said: string }
  /** A file does not have the shape of a roof file; path is where. */
  | { readonly key: "shape"; readonly path: string };

/** Refused is what comes instead of a result. */
export interface Refused {
  readonly why: Why;
}
