// A change is JSON: what it is, of which member, and what stood there before and stands after. It
// applies, inverts, joins with the next, and says why when it does not fit. It names members by
// id, never by their place in a list.

import type { Corner, Deck, Doc, Fields, Id, Json, Piece } from "./doc";
import { find, type Found, type PieceList } from "./find";
import { at, equal, ordered, put } from "./json";
import type { Refused, Why } from "./why";

/** Setting writes a field; a side that is missing is a field that is not there. The document itself has the id "". */
export interface Setting {
  readonly kind: "set";
  readonly of: Id;
  readonly path: readonly string[];
  readonly before?: Json;
  readonly after?: Json;
}

/** Member of a list of the document. */
export type Member = Deck | Corner | Piece;

/** Placing inserts a member into a list, or removes it; next is the member that it stands before, null at the end. */
export interface Placing {
  readonly kind: "insert" | "remove";
  readonly of: Id;
  readonly list: "decks" | "corners" | PieceList;
  readonly member: Member;
  readonly next: Id | null;
}

export type Change = Setting | Placing;

/** Applied is the document after a change. */
export interface Applied {
  readonly doc: Doc;
}

/** apply makes the changes one after another, all of them or none. */
export function apply(doc: Doc, changes: readonly Change[]): Applied | Refused {
  let now = doc;
  for (const c of changes) {
    const next = c.kind === "set" ? set(now, c) : place(now, c);
    if ("why" in next) return next;
    now = next.doc;
  }
  return { doc: now };
}

/** invert is the list of changes that leads back. */
export function invert(changes: readonly Change[]): Change[] {
  return changes.map(inverse).reverse();
}

function inverse(c: Change): Change {
  if (c.kind !== "set") return { ...c, kind: c.kind === "insert" ? "remove" : "insert" };
  return setting(c.of, c.path, c.after, c.before);
}

/** setting is a change of one field; undefined is a field that is not there. */
export function setting(of: Id, path: readonly string[], before: Json | undefined, after: Json | undefined): Setting {
  return { kind: "set", of, path, ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) };
}

/**
 * join is one list that does what two do one after another. Two settings of the same field become
 * one where nothing between them stands in the way, and none where the field is as it was.
 */
export function join(first: readonly Change[], second: readonly Change[]): Change[] {
  const out = [...first];
  for (const c of second) {
    const k = c.kind === "set" ? earlier(out, c) : -1;
    if (k < 0 || c.kind !== "set") {
      out.push(c);
      continue;
    }
    const before = (out[k] as Setting).before;
    if (equal(before, c.after)) out.splice(k, 1);
    else out[k] = setting(c.of, c.path, before, c.after);
  }
  return out;
}

/** earlier finds the setting of the same field that c can be joined with. */
function earlier(list: readonly Change[], c: Setting): number {
  for (let k = list.length - 1; k >= 0; k--) {
    const o = list[k]!;
    if (o.kind !== "set") return -1;
    if (o.of !== c.of) continue;
    const shared = Math.min(o.path.length, c.path.length);
    if (!c.path.slice(0, shared).every((name, i) => name === o.path[i])) continue;
    return o.path.length === c.path.length && equal(o.after, c.before) ? k : -1;
  }
  return -1;
}

/** valueOf reads a field of a member, undefined where it is not there. */
export function valueOf(doc: Doc, of: Id, path: readonly string[]): Json | undefined {
  if (of === "") return at(doc.fields, path);
  const f = find(doc, of);
  return f ? at(fieldsOf(f), path) : undefined;
}

function fieldsOf(f: Found): Fields {
  if (f.what === "corner") return { x: f.corner.x, y: f.corner.y, edge: f.corner.edge };
  return f.what === "deck" ? f.deck.fields : f.piece.fields;
}

/**
 * writing makes the setting that leaves after at a path, whatever stands there now: where groups on
 * the way are missing, they are made with it; where after is undefined and there is nothing, null.
 */
export function writing(doc: Doc, of: Id, path: readonly string[], after: Json | undefined): Setting | null {
  let depth = 1;
  while (depth < path.length && valueOf(doc, of, path.slice(0, depth)) !== undefined) depth++;
  const here = path.slice(0, depth), before = valueOf(doc, of, here);
  let value = after === undefined ? undefined : ordered(after);
  if (depth < path.length) {
    if (value === undefined) return null;
    for (const name of path.slice(depth).reverse()) value = { [name]: value };
  }
  return equal(before, value) ? null : setting(of, here, before, value);
}

function set(doc: Doc, c: Setting): Applied | Refused {
  const field = c.path.join(".");
  if (!equal(valueOf(doc, c.of, c.path), c.before)) return refuse({ key: "changed", id: c.of, field });
  if (c.of === "") {
    const fields = put(doc.fields, c.path, c.after);
    return fields ? { doc: { ...doc, fields } } : refuse({ key: "changed", id: c.of, field });
  }
  const f = find(doc, c.of);
  if (!f) return refuse({ key: "gone", id: c.of });
  const fields = put(fieldsOf(f), c.path, c.after);
  const deck = fields && withFields(f, fields);
  return deck ? { doc: withDeck(doc, f.deck, deck) } : refuse({ key: "changed", id: c.of, field });
}

/** withFields is the deck with the fields of what was found replaced; null where they do not make one. */
function withFields(f: Found, fields: Fields): Deck | null {
  if (f.what === "deck") return { ...f.deck, fields };
  if (f.what === "piece") return { ...f.deck, [f.list]: f.deck[f.list].with(f.at, { ...f.piece, fields }) };
  const { x, y, edge } = fields;
  if (typeof x !== "number" || typeof y !== "number" || typeof edge !== "object" || edge === null || Array.isArray(edge)) return null;
  return { ...f.deck, corners: f.deck.corners.with(f.at, { id: f.corner.id, x, y, edge: edge as Fields }) };
}

function withDeck(doc: Doc, old: Deck, deck: Deck): Doc {
  return { ...doc, decks: doc.decks.map((d) => (d === old ? deck : d)) };
}

function place(doc: Doc, c: Placing): Applied | Refused {
  if (c.list === "decks") {
    const decks = placed(doc.decks, c, doc);
    return "why" in decks ? decks : { doc: { ...doc, decks: decks.list } };
  }
  const f = find(doc, c.of);
  if (f?.what !== "deck") return refuse({ key: "gone", id: c.of });
  const list = placed<Corner | Piece>(f.deck[c.list], c, doc);
  return "why" in list ? list : { doc: withDeck(doc, f.deck, { ...f.deck, [c.list]: list.list }) };
}

function placed<M extends Member>(list: readonly M[], c: Placing, doc: Doc): { readonly list: readonly M[] } | Refused {
  const before = c.next === null ? list.length : list.findIndex((m) => m.id === c.next);
  if (before < 0) return refuse({ key: "gone", id: c.next! });
  if (c.kind === "insert") {
    if (find(doc, c.member.id)) return refuse({ key: "twice", id: c.member.id });
    return { list: list.toSpliced(before, 0, c.member as M) };
  }
  const at = list.findIndex((m) => m.id === c.member.id);
  if (at < 0) return refuse({ key: "gone", id: c.member.id });
  if (at !== before - 1 || !equal(list[at] as unknown as Json, c.member as unknown as Json)) {
    return refuse({ key: "changed", id: c.member.id, field: "" });
  }
  return { list: list.toSpliced(at, 1) };
}

const refuse = (why: Why): Refused => ({ why });
