// The document as a roof file and back: the JSON that the engine's reader of YAML takes as it is.
//
// There and back is the identity but for the ids, which a roof file does not have. A word that only
// a person knows is written as ask, as an imported drawing has it.

import type { Corner, Deck, Doc, Fields, Json, Piece } from "./doc";
import { pieceLists, type Fresh } from "./find";
import { centreOf, distance, minus, cross, dot, areaOf, bends, pointOf, pointsOf, type Point } from "./geometry";
import { at, isFields, isList, numberAt, ordered, textAt } from "./json";
import { backBearing, called, clockwise, laid, plainMetres, renamed, reversed, walkText, type Walk } from "./walk";
import type { Refused } from "./why";

/** unsaid stands where nobody has said the word yet. */
const unsaid = "ask";

/** roofOf is the plain JSON of the roof file that the document stands for; a document without decks has none. */
export function roofOf(doc: Doc): Fields {
  const decks = doc.decks.map(deckRoof), head = { ...doc.fields, version: 1 };
  if (decks.length === 0) return ordered(head) as Fields;
  return ordered(decks.length === 1 ? { ...head, deck: decks[0]! } : { ...head, decks }) as Fields;
}

/** roofText is that JSON as the text that goes to the engine. */
export const roofText = (doc: Doc): string => JSON.stringify(roofOf(doc));

function deckRoof(deck: Deck): Json {
  const out: { [name: string]: Json } = { ...deck.fields };
  if (!isFields(deck.fields["survey"])) out["outline"] = deck.corners.map((c) => [c.x, c.y]);
  out["edges"] = deck.corners.map(edgeRoof);
  const fall = deck.fields["fall"];
  if (!isFields(fall)) out["fall"] = { towards: unsaid };
  else if (wantsWay(fall)) out["fall"] = { ...fall, towards: unsaid };
  if (deck.openings.length > 0) out["openings"] = deck.openings.map((p) => p.fields);
  if (deck.penetrations.length > 0) out["penetrations"] = deck.penetrations.map((p) => p.fields);
  if (deck.movement_joints.length > 0) out["movement_joints"] = deck.movement_joints.map((p) => p.fields["line"] ?? []);
  return out;
}

/** wantsWay tells a fall of one plane that does not say where the water runs. */
function wantsWay(fall: Fields): boolean {
  const kind = fall["kind"] ?? (fall["to_point"] === undefined ? "one way" : "to point");
  return kind === "one way" && fall["towards"] === undefined;
}

function edgeRoof(c: Corner): Json {
  const condition = c.edge["condition"] ?? unsaid;
  return Object.keys(c.edge).every((name) => name === "condition") ? condition : { ...c.edge, condition };
}

/** docOf reads the JSON of a roof file into a document, with new ids; what does not have its shape is named. */
export function docOf(json: Json, fresh: Fresh): { readonly doc: Doc } | Refused {
  if (!isFields(json)) return shape("");
  const fields: { [name: string]: Json } = {};
  for (const name of Object.keys(json).sort()) if (name !== "deck" && name !== "decks" && name !== "version") fields[name] =
    ordered(json[name]!);
  const list = json["decks"] ?? (json["deck"] === undefined ? [] : [json["deck"]]);
  if (!isList(list)) return shape("decks");
  const decks: Deck[] = [];
  for (let i = 0; i < list.length; i++) {
    const deck = deckDoc(list[i]!, `decks[${i}]`, fresh);
    if ("why" in deck) return deck;
    decks.push(deck.deck);
  }
  return { doc: { fields, decks } };
}

const shape = (path: string): Refused => ({ why: { key: "shape", path } });

const apart = new Set(["outline", "edges", ...pieceLists]);

function deckDoc(json: Json, path: string, fresh: Fresh): { readonly deck: Deck } | Refused {
  if (!isFields(json)) return shape(path);
  const fields: { [name: string]: Json } = {};
  for (const name of Object.keys(json).sort()) if (!apart.has(name)) fields[name] = ordered(json[name]!);
  const corners = isFields(json["survey"]) ? tapedCorners(json, fields, path, fresh) : drawnCorners(json, path, fresh);
  if ("why" in corners) return corners;
  said(fields);
  const lists: { [list: string]: readonly Piece[] } = {};
  for (const list of pieceLists) {
    const read = pieces(json[list] ?? [], list === "movement_joints", fresh);
    if (!read) return shape(`${path}.${list}`);
    lists[list] = read;
  }
  return { deck: { id: fresh(), corners: corners.corners, openings: lists["openings"]!, penetrations: lists["penetrations"]!,
    movement_joints: lists["movement_joints"]!, fields } };
}

/** said takes the word ask out of a fall, and a fall that says nothing else. */
function said(fields: { [name: string]: Json }): void {
  const fall = fields["fall"];
  if (!isFields(fall) || fall["towards"] !== unsaid) return;
  const { towards: _, ...rest } = fall;
  if (Object.keys(rest).length > 0) fields["fall"] = rest;
  else delete fields["fall"];
}

function pieces(json: Json, lines: boolean, fresh: Fresh): readonly Piece[] | null {
  if (!isList(json)) return null;
  const out: Piece[] = [];
  for (const p of json) {
    if (lines ? pointsOf(p)?.length !== 2 : !isFields(p)) return null;
    out.push({ id: fresh(), fields: lines ? { line: p } : (ordered(p) as Fields) });
  }
  return out;
}

/** edges reads the list of edges, one for each of n corners: a word or fields, the condition left out where nobody has said it. */
function edges(json: Json | undefined, n: number): Fields[] | null {
  if (json === undefined) return Array.from({ length: n }, () => ({}));
  if (!isList(json) || json.length > n) return null;
  const out: Fields[] = [];
  for (let i = 0; i < n; i++) {
    const e = json[i] ?? unsaid;
    if (typeof e !== "string" && !isFields(e)) return null;
    const { condition, ...rest } = typeof e === "string" ? { condition: e } : (e as { condition?: Json });
    out.push(ordered(condition === undefined || condition === unsaid ? rest : { ...rest, condition }) as Fields);
  }
  return out;
}

function drawnCorners(json: Fields, path: string, fresh: Fresh): { readonly corners: readonly Corner[] } | Refused {
  const points = pointsOf(json["outline"] ?? []), written = json["outline"] ?? [];
  if (!points || !isList(written)) return shape(`${path}.outline`);
  const list = edges(json["edges"], points.length);
  if (!list) return shape(`${path}.edges`);
  const outward = areaOf(points.map((a, i) => ({ a, b: points[(i + 1) % points.length]!, bulge: third(written[i]) }))) < 0 ? -1 : 1;
  const corners = points.map((p, i) => {
    // A third number is a bulge to the right of the way; the arc beside an edge counts out of the roof.
    const bulge = third(written[i]) * outward;
    return { id: "", x: p.x, y: p.y, edge: bent(list[i]!, bulge, p, points[(i + 1) % points.length]!, outward) };
  });
  const ring = outward < 0 ? backwards(corners) : corners;
  return { corners: ring.map((c) => ({ ...c, id: fresh() })) };
}

const third = (v: Json | undefined): number => (isList(v) && typeof v[2] === "number" ? v[2] : 0);

/** bent is an edge with its arc as a bulge, whichever way it was given. */
function bent(edge: Fields, bulge: number, a: Point, b: Point, outward: number): Fields {
  const b1 = bulgeOf(edge["arc"], a, b, outward) ?? bulge;
  if (b1 === 0) return edge;
  return ordered({ ...edge, arc: { bulge: b1 } }) as Fields;
}

/** bulgeOf reads an arc given one of its four ways, out of the roof positive; undefined where there is none. */
function bulgeOf(arc: Json | undefined, a: Point, b: Point, outward: number): number | undefined {
  if (!isFields(arc)) return undefined;
  const half = distance(a, b) / 2, sign = arc["inward"] === true ? -1 : 1;
  const bulge = numberAt(arc, ["bulge"]), rise = numberAt(arc, ["rise_m"]), radius = numberAt(arc, ["radius_m"]), through =
    pointOf(arc["through"]);
  if (bulge !== undefined) return bulge * sign;
  if (half === 0) return undefined;
  if (rise !== undefined) return (rise / half) * sign;
  if (radius !== undefined) return ((radius - Math.sqrt(Math.max(0, radius * radius - half * half))) / half) * sign;
  if (!through) return undefined;
  // The chord is seen from the arc under half the arc outside (Euclid, Elements III.20).
  const p = minus(a, through), q = minus(b, through), turn = Math.atan2(cross(p, q), dot(p, q));
  const size = Math.tan((Math.PI - Math.abs(turn)) / 2);
  return (turn > 0 ? -size : size) * outward * sign;
}

/** backwards runs an outline the other way, each edge's fields still at its own edge. */
function backwards(corners: readonly Corner[], lengthOf: (i: number) => number = chord(corners)): Corner[] {
  const n = corners.length;
  return corners.map((_, i) => {
    const k = n - 1 - i, from = (2 * n - 2 - i) % n, c = corners[k]!, edge = corners[from]!.edge;
    return { ...c, edge: flipped(edge, lengthOf(from)) };
  });
}

function chord(corners: readonly Corner[]): (i: number) => number {
  const ring = bends(corners);
  return (i) => {
    const e = ring[i]!;
    return e.bulge === 0 ? distance(e.a, e.b) : centreOf(e).radius * 4 * Math.atan(Math.abs(e.bulge));
  };
}

/** flipped measures the door sills of an edge from its other end. */
function flipped(edge: Fields, length: number): Fields {
  const sills = edge["thresholds"];
  if (!isList(sills)) return edge;
  const turn = (s: Json): Json => {
    const from = numberAt(s, ["from_m"]) ?? 0, to = numberAt(s, ["to_m"]);
    return isFields(s) && to !== undefined ? { ...s, from_m: length - to, to_m: length - from } : s;
  };
  return { ...edge, thresholds: sills.map(turn).reverse() };
}

/** tapedCorners lays a walk out as it was called, for the engine's outline to take its place; a clockwise walk is turned. */
function tapedCorners(json: Fields, fields: { [name: string]: Json }, path: string, fresh: Fresh): { readonly corners: readonly Corner[] }
  | Refused {
  const r = called(textAt(json["survey"], ["walk"]) ?? "", plainMetres);
  if ("why" in r) return r;
  const list = edges(json["edges"], r.walk.length);
  if (!list) return shape(`${path}.edges`);
  const around = clockwise(r.walk), walk: Walk = around ? reversed(r.walk) : r.walk, n = walk.length;
  if (around) {
    const survey = json["survey"] as Fields, measured = survey["measured"];
    const back = backBearing(r.walk, numberAt(survey, ["bearing_deg"]) ?? 0);
    fields["survey"] = ordered({ ...survey, bearing_deg: back, ...(measured === undefined ? {} : { measured: renamed(measured, n) }),
      walk: walkText(walk) });
  }
  const start = pointOf(at(json, ["survey", "start"])) ?? { x: 0, y: 0 };
  const { corners } = laid(walk, start, numberAt(fields["survey"], ["bearing_deg"]) ?? 0);
  return { corners: walk.map((s, i) => {
    const from = around ? n - 1 - i : i, edge = around ? flipped(list[from]!, s.length ?? 1) : list[from]!;
    return { id: fresh(), x: corners[i]!.x, y: corners[i]!.y, edge: bent(edge, 0, corners[i]!, corners[i + 1]!, 1) };
  }) };
}
