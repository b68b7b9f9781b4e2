// The document: what the roof file says, as one immutable value.
//
// Its fields bear the names of the roof file (docs/roof-file.md), so that nothing is translated
// twice; only lists whose members are drawn or tapped are kept apart, each member with an id of
// its own. Changes name members by id, never by place.

/** Json is what a field of the roof file may hold. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [field: string]: Json };

/** Fields are fields of the roof file by their names. */
export type Fields = { readonly [field: string]: Json };

/** Id names a member of a list for good; made on this device, never used again. */
export type Id = string;

/**
 * Corner of a deck's outline, metres, x to the right and y up, anticlockwise in the order of the
 * list. Edge is what is known of the edge that leaves it: the fields of `edges[]`, condition
 * missing until somebody has said it.
 */
export interface Corner {
  readonly id: Id;
  readonly x: number;
  readonly y: number;
  readonly edge: Fields;
}

/** Piece is an opening, a penetration or a movement joint (`line` alone); its fields are the roof file's. */
export interface Piece {
  readonly id: Id;
  readonly fields: Fields;
}

/** Deck is one level; `fields` holds all that is not kept apart: name, level_m, fall, base, exit, survey … */
export interface Deck {
  readonly id: Id;
  readonly corners: readonly Corner[];
  readonly openings: readonly Piece[];
  readonly penetrations: readonly Piece[];
  readonly movement_joints: readonly Piece[];
  readonly fields: Fields;
}

/** Doc is a job; `fields` holds version, name, date, site, use, work, spec, crew, day. */
export interface Doc {
  readonly fields: Fields;
  readonly decks: readonly Deck[];
}
