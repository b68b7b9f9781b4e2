// Commands on whole decks and on the job.

import { writing, type Change } from "./change";
import { gone, type Command, type Outcome } from "./command";
import type { Corner, Deck, Doc, Fields, Id, Json } from "./doc";
import { deckName, find, pieceLists, type Fresh } from "./find";
import { areaOf, bends, boundsOf, plus, pointOf, pointsOf, tidy, written, type Point } from "./geometry";
import { at, isFields, isList, ordered } from "./json";
import { isTaped, reshaped } from "./outline";
import { movedFields } from "./pieces";
import { taped, type Walk } from "./walk";

const deckAt = (doc: Doc, id: Id): { readonly deck: Deck; readonly at: number } | null => {
  const f = find(doc, id);
  return f?.what === "deck" ? f : null;
};

/** free finds a name that no deck bears. */
function free(doc: Doc): string {
  const names = new Set(doc.decks.map((d) => deckName(doc, d)));
  if (doc.decks.length === 0) return "main";
  let n = doc.decks.length + 1;
  while (names.has(`deck ${n}`)) n++;
  return `deck ${n}`;
}

function added(doc: Doc, corners: readonly Corner[], fields: Fields, fresh: Fresh): Outcome {
  const member: Deck = { id: fresh(), corners, openings: [], penetrations: [], movement_joints: [], fields: ordered({ name: free(doc),
    ...fields }) as Fields };
  return { changes: [{ kind: "insert", of: "", list: "decks", member, next: null }], chosen: member.id };
}

/** addDeck by its corners, in either direction round. */
export const addDeck: Command<{ readonly corners: readonly Point[]; readonly fresh: Fresh }> = {
  label: "addDeck", key: null,
  run(doc, { corners, fresh }) {
    if (corners.length < 3) return { why: { key: "few corners", least: 3 } };
    const made = corners.map((p): Corner => ({ id: fresh(), x: tidy(p.x), y: tidy(p.y), edge: {} }));
    return added(doc, areaOf(bends(made)) < 0 ? made.reverse() : made, {}, fresh);
  },
};

/**
 * tapeDeck ends a called walk: a new deck, or, with its id, a deck's outline anew, whose edges keep what is known of them where their
 * number is the same.
 */
export const tapeDeck: Command<{ readonly walk: Walk; readonly measured: readonly Json[]; readonly fresh: Fresh; readonly deck?: Id }> = {
  label: "tapeDeck", key: null,
  run(doc, { walk, measured, fresh, deck: id }) {
    const made = taped(walk, measured, fresh);
    if ("why" in made) return made;
    if (id === undefined) {
      const beside = besideAll(doc, made.corners), start = beside === 0 ? {} : { start: [beside, 0] };
      return added(doc, made.corners.map((c) => ({ ...c, x: tidy(c.x + beside) })), { survey: { ...made.survey, ...start } }, fresh);
    }
    const f = deckAt(doc, id);
    if (!f) return gone(id);
    const keep = f.deck.corners.length === made.corners.length;
    const start = pointOf(at(f.deck.fields, ["survey", "start"])), survey: Fields = { ...made.survey, ...(start ? { start: written(start) }
      : {}) };
    const placed = made.corners.map((c) => ({ ...c, ...(start ? { x: tidy(c.x + start.x), y: tidy(c.y + start.y) } : {}) }));
    const corners = placed.map((c, i) => (keep ? { ...c, id: f.deck.corners[i]!.id, edge: ordered({ ...f.deck.corners[i]!.edge,
      ...c.edge }) as Fields } : c));
    return { changes: replaced(doc, f.deck, f.at, { ...f.deck, corners, fields: ordered({ ...f.deck.fields, survey }) as Fields }) };
  },
};

/** besideAll is how far a new deck, called from A at 0, is set to the right so that it lies a metre beside what is there, m. */
function besideAll(doc: Doc, corners: readonly Point[]): number {
  const all = doc.decks.flatMap((d) => d.corners);
  return all.length === 0 ? 0 : tidy(boundsOf(all).high.x + 1 - boundsOf(corners).low.x);
}

function replaced(doc: Doc, old: Deck, at: number, deck: Deck): Change[] {
  const next = doc.decks[at + 1]?.id ?? null;
  return [{ kind: "remove", of: "", list: "decks", member: old, next }, { kind: "insert", of: "", list: "decks", member: deck, next }];
}

/** dropTape lets a taped outline be drawn on: the survey goes, its corners stay where they are shown. */
export const dropTape: Command<{ readonly deck: Id; readonly shown?: readonly Point[] }> = {
  label: "dropTape", key: null,
  run(doc, { deck: id, shown }) {
    const f = deckAt(doc, id);
    if (!f) return gone(id);
    const survey = writing(doc, id, ["survey"], undefined);
    if (!survey) return { changes: [] };
    return { changes: [survey, ...reshaped(doc, f.deck, new Map(f.deck.corners.map((c, i) => [c.id, shown?.[i] ?? c])))] };
  },
};

/** moveDeck with all that is on it. */
export const moveDeck: Command<{ readonly deck: Id; readonly by: Point }> = {
  label: "moveDeck", key: null,
  run(doc, { deck: id, by }) {
    const f = deckAt(doc, id);
    if (!f) return gone(id);
    const changes: Change[] = [], note = (c: Change | null): void => void (c && changes.push(c));
    for (const c of f.deck.corners) {
      note(writing(doc, c.id, ["x"], tidy(c.x + by.x)));
      note(writing(doc, c.id, ["y"], tidy(c.y + by.y)));
    }
    for (const list of pieceLists) for (const p of f.deck[list]) changes.push(...movedFields(doc, p.id, p.fields, by));
    for (const [path, value] of deckPoints(f.deck, by)) note(writing(doc, id, path, value));
    return { changes };
  },
};

/** deckPoints are the points among a deck's own fields, moved. */
function deckPoints(deck: Deck, by: Point): [readonly string[], Json][] {
  const out: [readonly string[], Json][] = [], move = (p: Point): readonly Json[] => written(plus(p, by));
  for (const path of [["exit"], ["fall", "to_point"], ["survey", "start"]]) {
    const p = pointOf(at(deck.fields, path));
    if (p) out.push([path, move(p)]);
  }
  if (isTaped(deck) && !pointOf(at(deck.fields, ["survey", "start"]))) out.push([["survey", "start"], written(by)]);
  const line = pointsOf(at(deck.fields, ["fall", "line"]));
  if (line) out.push([["fall", "line"], line.map(move)]);
  for (const name of ["soft_areas", "anti_slip"]) {
    const rings = deck.fields[name];
    if (isList(rings)) out.push([[name], rings.map((ring) => (isList(ring) ? ring.map((v) => ringPoint(v, by)) : ring))]);
  }
  for (const name of ["levels", "moisture"]) {
    const readings = deck.fields[name];
    if (isList(readings)) out.push([[name], readings.map((r) => (isFields(r) && pointOf(r["at"]) ? { ...r, at: move(pointOf(r["at"])!) }
      : r))]);
  }
  return out;
}

function ringPoint(v: Json, by: Point): Json {
  const p = pointOf(v);
  return p && isList(v) ? [...written(plus(p, by)), ...v.slice(2)] : v;
}

/** removeDeck with all that is on it. */
export const removeDeck: Command<{ readonly deck: Id }> = {
  label: "removeDeck", key: "Delete",
  run(doc, { deck: id }) {
    const f = deckAt(doc, id);
    if (!f) return gone(id);
    return { changes: [{ kind: "remove", of: "", list: "decks", member: f.deck, next: doc.decks[f.at + 1]?.id ?? null }], chosen: null };
  },
};

/**
 * setDeck writes one field of a deck by its path: level_m, base.joist_spacing_mm …; undefined takes it away. Steps that name the deck
 * follow its new name.
 */
export const setDeck: Command<{ readonly deck: Id; readonly path: readonly string[]; readonly value: Json | undefined }> = {
  label: "setDeck", key: null,
  run(doc, { deck: id, path, value }) {
    const f = deckAt(doc, id);
    if (!f) return gone(id);
    if (typeof value === "number" && !Number.isFinite(value)) return { why: { key: "number", field: path.join("."), least: -2000,
      most: 5000 } };
    // The walk itself is called anew, or dropped: never a field alone.
    if (path[0] === "survey" && (!isTaped(f.deck) || path[1] === undefined || path[1] === "walk")) return { why: { key: "taped" } };
    const changes: Change[] = [], note = (c: Change | null): void => void (c && changes.push(c));
    if (path.join(".") === "name") {
      if (typeof value !== "string" || value === "") return { why: { key: "name", name: "" } };
      const old = deckName(doc, f.deck);
      if (doc.decks.some((d) => d.id !== id && deckName(doc, d) === value)) return { why: { key: "name", name: value } };
      for (const d of doc.decks) for (const c of d.corners) if (c.edge["to"] === old) note(writing(doc, c.id, ["edge", "to"], value));
    }
    note(writing(doc, id, path, value));
    return { changes };
  },
};

/** setJob writes one field of the job by its path: name, date, site.lat_deg …; undefined takes it away. */
export const setJob: Command<{ readonly path: readonly string[]; readonly value: Json | undefined }> = {
  label: "setJob", key: null,
  run(doc, { path, value }) {
    if (typeof value === "number" && !Number.isFinite(value)) return { why: { key: "number", field: path.join("."), least: -2000,
      most: 5000 } };
    const change = writing(doc, "", path, value);
    return { changes: change ? [change] : [] };
  },
};

/** withOutline is a document to look at: a deck's corners where the engine's survey puts them. It is no change and is not kept. */
export function withOutline(doc: Doc, deck: Id, points: readonly Point[]): Doc {
  return { ...doc, decks: doc.decks.map((d) => d.id !== deck || d.corners.length !== points.length ? d
    : { ...d, corners: d.corners.map((c, i) => ({ ...c, x: points[i]!.x, y: points[i]!.y })) }) };
}
