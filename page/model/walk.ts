// The tape called: lengths and turns one after another, as they are typed or tapped, and what they
// draw so far. Whether a walk closes, and where its corners truly are, is for the engine's survey
// package to say; here a walk is laid out side by side as it was called, and nothing is adjusted.

import type { Corner, Deck, Fields, Json } from "./doc";
import type { Fresh } from "./find";
import { distance, minus, plus, size, tidy, times, turned, unit, type Point } from "./geometry";
import { isFields, isList, textAt } from "./json";
import type { Refused, Why } from "./why";

/**
 * Turn at the far corner of a side: square by eye, measured in degrees, or known by its side only (free, drawn by so many degrees), or not
 * at all.
 */
export type Turn =
  | { readonly hand: "left" | "right"; readonly deg: number | "square" | "free"; readonly drawn?: number }
  | { readonly hand: "free" };

/**
 * Side is one side as it is called: its length in metres, null where it could not be reached; its rise out of the roof where it is curved;
 * the turn that follows, when it was called.
 */
export interface Side {
  readonly length: number | null;
  readonly rise?: number;
  readonly turn?: Turn;
  /** How long a side that was not reached is drawn, m. */
  readonly drawn?: number;
}

export type Walk = readonly Side[];

/** mostSides is what the engine's survey takes: more are not taped in a day. */
export const mostSides = 60;

/** ReadLength turns a length as it is written into metres, null where it is none. */
export type ReadLength = (text: string) => number | null;

/** plainMetres reads "7.20" and "7,20". */
export const plainMetres: ReadLength = (text) => {
  const x = Number(text.replace(",", "."));
  return /^[0-9]*[.,]?[0-9]+m?$/.test(text) && Number.isFinite(x) ? x : null;
};

/** cornerName is what a corner is called on a survey: A to Z, then A2 to Z2, and so on. */
export function cornerName(i: number): string {
  const round = Math.floor(i / 26);
  return String.fromCharCode(65 + (i % 26)) + (round > 0 ? String(round + 1) : "");
}

/** called reads a walk from a text: "6.2, left, 3.1, left 45, 2.0, arc 0.3, right". The text may break off anywhere. */
export function called(text: string, read: ReadLength = plainMetres): { readonly walk: Walk } | Refused {
  const words = text.toLowerCase().replace(/(^|\s)(left|right|free|arc)(?=[-0-9])/g, "$1$2 ").split(/[;\s]+|,(?=\s|$)/).filter((w) => w !==
    "");
  const walk: Side[] = [];
  while (words.length > 0) {
    const at = walk.length;
    if (at === mostSides) return refuse("open", at, String(mostSides));
    const length = takeLength(words, read);
    if (length === undefined || (length !== null && !(length >= 0.01 && length <= 500))) return refuse("length", at, words[0] ?? text);
    const rise = words[0] === "arc" ? takeArc(words, read) : undefined;
    if (rise === null) return refuse("arc", at, words[0] ?? "arc");
    const turn = words.length > 0 ? takeTurn(words) : undefined;
    if (turn === null) return refuse("turn", at + 1, words[0] ?? "");
    walk.push({ length, ...(rise === undefined ? {} : { rise }), ...(turn === undefined ? {} : { turn }) });
  }
  return { walk };
}

const refuse = (part: Extract<Why, { key: "walk" }>["part"], at: number, said: string): Refused => ({ why: { key: "walk", part, at,
  said } });

const isTurn = (w: string | undefined): boolean => w === "left" || w === "right" || w === "free" || w === "arc";

/** takeLength takes one length off the front: as many words as make one ("8 ft 6 in"); null is a side not reached, undefined no length. */
function takeLength(words: string[], read: ReadLength): number | null | undefined {
  if (words[0] === "?") {
    words.shift();
    return null;
  }
  const end = words.findIndex((w) => isTurn(w));
  const most = Math.min(end < 0 ? words.length : end, 5);
  for (let k = most; k > 0; k--) {
    const m = read(words.slice(0, k).join(" "));
    if (m !== null) {
      words.splice(0, k);
      return m;
    }
  }
  return undefined;
}

function takeArc(words: string[], read: ReadLength): number | null {
  const said = words[1] ?? "", inward = said.startsWith("-");
  const rise = read(inward ? said.slice(1) : said);
  if (rise === null || !(rise >= 0.001 && rise <= 500)) return null;
  words.splice(0, 2);
  return inward ? -rise : rise;
}

function takeTurn(words: string[]): Turn | null {
  const hand = words[0];
  if (hand === "free") {
    words.shift();
    return { hand: "free" };
  }
  if (hand !== "left" && hand !== "right") return null;
  words.shift();
  if (words[0] === "free") {
    words.shift();
    return { hand, deg: "free" };
  }
  const m = /^([0-9]+(?:[.,][0-9]+)?)(°|deg|degrees)?$/.exec(words[0] ?? "");
  // A bare number after a turn is its angle only where the next word is no turn: "left 45, 3.1" but "left, 3.1, left".
  if (!m || (m[2] === undefined && !bareAngle(words))) return { hand, deg: "square" };
  const deg = Number(m[1]!.replace(",", "."));
  if (!(deg > 0 && deg < 180)) return null;
  words.shift();
  if (m[2] === undefined && /^(°|deg|degrees)$/.test(words[0] ?? "")) words.shift();
  return { hand, deg };
}

function bareAngle(words: readonly string[]): boolean {
  const next = words[1];
  return next !== undefined && (/^(°|deg|degrees)$/.test(next) || /^([0-9?]|[.,][0-9])/.test(next));
}

/** walkText says a walk as the engine's survey package reads it; curves stand at their edges, not in the walk. */
export function walkText(walk: Walk): string {
  return walk.map((s) => {
    const length = s.length === null ? "?" : String(tidy(s.length)), t = s.turn;
    if (!t) return length;
    if (t.hand === "free") return `${length} free`;
    return `${length} ${t.hand}${t.deg === "square" ? "" : t.deg === "free" ? " free" : ` ${t.deg}°`}`;
  }).join(" ");
}

/** turnDeg of a turn, to the left positive; what is not known is drawn square to the side it is known by, or to the left. */
export function turnDeg(t: Turn | undefined): number {
  if (!t || t.hand === "free") return 90;
  const deg = typeof t.deg === "number" ? t.deg : (t.drawn ?? 90);
  return t.hand === "left" ? deg : -deg;
}

/** Laid is a walk on the drawing: its corners so far, the first one included; where it stands, and which way it would go on, in degrees. */
export interface Laid {
  readonly corners: readonly Point[];
  readonly heading: number;
}

/**
 * laid out side by side as called, from a start and in a direction; a side that was not reached is drawn a metre long until more is known
 * of it.
 */
export function laid(walk: Walk, start: Point = { x: 0, y: 0 }, bearing = 0): Laid {
  const corners: Point[] = [start];
  let heading = bearing, here = start;
  for (const s of walk) {
    here = plus(here, turned({ x: s.length ?? s.drawn ?? 1, y: 0 }, heading));
    here = { x: tidy(here.x), y: tidy(here.y) };
    corners.push(here);
    heading += turnDeg(s.turn);
  }
  return { corners, heading };
}

/** Closing is what would lead back to the first corner from where the walk stands: one side, or two square ones. */
export interface Closing {
  /** Gap from the last corner to the first, m. */
  readonly gap: number;
  /** The one side that closes it: the turn before it, to the left positive, its length, and the turn at A. */
  readonly one: { readonly turn: number; readonly length: number; readonly turnAtA: number };
  /** Two sides with square corners, where these would do: the lengths and the turn between. */
  readonly two: { readonly turn: number; readonly first: number; readonly second: number; readonly between: Point; readonly hand: "left"
    | "right" } | null;
}

/** closing says what would close a walk; null before two sides are called. Turn is the one called after the last side, if any. */
export function closing(walk: Walk, bearing = 0): Closing | null {
  if (walk.length < 2) return null;
  const { corners, heading } = laid(walk, undefined, bearing), end = corners.at(-1)!;
  const back = minus(corners[0]!, end), gap = size(back), last = walk.at(-1)!;
  const before = heading - turnDeg(last.turn);
  const way = (Math.atan2(back.y, back.x) * 180) / Math.PI;
  const one = { turn: around(way - before), length: tidy(gap), turnAtA: around(bearing - way) };
  return { gap: tidy(gap), one, two: gap < 0.005 ? null : square(end, corners[0]!, last.turn ? heading : null, before, bearing) };
}

/**
 * square finds the two sides at right angles from a point to another that meet the first side at a right angle too; heading is the one that
 * was called, else before ± 90°.
 */
function square(from: Point, to: Point, heading: number | null, before: number, bearing: number): Closing["two"] {
  const back = minus(to, from);
  for (const h of heading === null ? [before + 90, before - 90] : [heading]) {
    const way = turned({ x: 1, y: 0 }, h), first = tidy(back.x * way.x + back.y * way.y), side = turned(way, 90);
    const across = tidy(back.x * side.x + back.y * side.y);
    if (first < 0.01 || Math.abs(across) < 0.01 || Math.abs(Math.cos(((h + 90 - bearing) * Math.PI) / 180)) > 0.01) continue;
    return { turn: around(h - before), first, second: Math.abs(across), between: plus(from, times(unit(way), first)), hand: across > 0
      ? "left" : "right" };
  }
  return null;
}

/** around brings degrees between -180 and 180. */
export function around(deg: number): number {
  const d = ((deg % 360) + 540) % 360 - 180;
  return Math.abs(d) < 1e-9 ? 0 : Math.round(d * 1e6) / 1e6;
}

/** clockwise tells whether a walk goes round clockwise: more to the right than to the left. */
export function clockwise(walk: Walk): boolean {
  return walk.reduce((sum, s) => sum + (s.turn && s.turn.hand !== "free" ? turnDeg(s.turn) : 0), 0) < 0;
}

/** reversed is the same outline walked the other way from the same first corner. */
export function reversed(walk: Walk): Walk {
  const n = walk.length;
  return walk.map((_side, i) => {
    const side = walk[n - 1 - i]!, turn = i === n - 1 ? walk[n - 1]!.turn : walk[n - 2 - i]!.turn;
    const back: Turn | undefined = turn && turn.hand !== "free" ? { ...turn, hand: turn.hand === "left" ? "right" : "left" } : turn;
    const { turn: _, ...rest } = side;
    return { ...rest, ...(back ? { turn: back } : {}) };
  });
}

/** renamed gives the readings of a walk of n corners the letters of the reversed walk. */
export function renamed(measured: Json, n: number): Json {
  const letters = new Map<string, string>();
  for (let i = 0; i < n; i++) letters.set(cornerName(i), cornerName((n - i) % n));
  const other = (v: Json): Json => (typeof v === "string" ? (letters.get(v) ?? v) : isList(v) ? v.map(other) : v);
  if (!isList(measured)) return measured;
  return measured.map((m) => {
    if (!isFields(m)) return m;
    const out: { [name: string]: Json } = { ...m };
    for (const name of ["from", "to", "at", "line"]) if (m[name] !== undefined) out[name] = other(m[name]);
    return out;
  });
}

/** backBearing is the direction of the last side of a walk, seen from A: where the walk that goes the other way sets out. */
export function backBearing(walk: Walk, bearing: number): number {
  const { corners } = laid(walk, { x: 0, y: 0 }, bearing), end = corners.at(-1)!, before = corners.at(-2) ?? end;
  return size(minus(before, end)) === 0 ? bearing : around((Math.atan2(before.y - end.y, before.x - end.x) * 180) / Math.PI);
}

/** Taped is what a finished walk makes: the corners as called, anticlockwise, and the survey of the roof file. */
export interface Taped {
  readonly corners: readonly Corner[];
  readonly survey: Fields;
}

/** taped ends a walk: its last side leads back to A. A walk that went clockwise is turned; the readings beside it follow. */
export function taped(said: Walk, measured: readonly Json[], fresh: Fresh): Taped | Refused {
  if (said.length < 3) return refuse("short", said.length, String(said.length));
  const other = clockwise(said), walk = other ? reversed(said) : said;
  const readings = other ? renamed(measured, said.length) : measured, bearing = other ? backBearing(said, 0) : 0;
  const { corners } = laid(walk, undefined, bearing);
  return {
    corners: walk.map((s, i) => ({ id: fresh(), x: corners[i]!.x, y: corners[i]!.y, edge: arcOf(s, corners[i]!, corners[i + 1]!) })),
    survey: { ...(bearing !== 0 ? { bearing_deg: bearing } : {}), ...(measured.length > 0 ? { measured: readings } : {}),
      walk: walkText(walk) },
  };
}

function arcOf(s: Side, a: Point, b: Point): Fields {
  const half = distance(a, b) / 2;
  return s.rise === undefined || half === 0 ? {} : { arc: { bulge: Math.round((s.rise / half) * 1e6) / 1e6 } };
}

/** walkOf is the walk of a deck that was taped, null where it was drawn. */
export function walkOf(deck: Deck): Walk | null {
  const survey = deck.fields["survey"], text = textAt(survey, ["walk"]);
  if (text === undefined) return null;
  const r = called(text);
  return "why" in r ? [] : r.walk;
}
