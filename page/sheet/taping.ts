// The tape as a row of keys: what is typed, what is called so far, and what a key makes of it. It
// knows no screen; the tape's component and its tests press the same keys.

import type { Json } from "../model/doc";
import { textAt } from "../model/json";
import { around, cornerName, closing, laid, clockwise, mostSides, turnDeg, type Closing, type Side, type Turn,
  type Walk } from "../model/walk";

/** Taping is one survey while it is called. */
export interface Taping {
  readonly walk: Walk;
  /** Digits typed and not yet called. */
  readonly typed: string;
  /** What the digits are: a length, the degrees of a turn, the rise of a curve, a diagonal once the walk is ended, or a reading anew. */
  readonly asks: "length" | "other" | "rise" | "diagonal" | "again";
  /** Length of the side whose turn or rise is being asked, and as it was typed. */
  readonly length: number | null;
  readonly text: string;
  /** Each side's length as it was typed, to be taken back. */
  readonly said: readonly string[];
  readonly rise?: number;
  /**
   * Corners between which a diagonal, or the reading that is taken anew, runs; picked is the first of them while the second is still to be
   * tapped.
   */
  readonly from: number;
  readonly to: number;
  readonly picked: number | null;
  readonly measured: readonly Json[];
}

export const startTaping: Taping = { walk: [], typed: "", asks: "length", length: null, text: "", said: [], from: 0, to: 2, picked: null,
  measured: [] };

/** Line between two corners by their letters. */
export interface Line {
  readonly from: string;
  readonly to: string;
}

/** Judgement is what the engine says of a survey, as far as the tape shows it: brief on the sketch, whole below it. */
export interface Judgement {
  readonly brief: string;
  readonly whole: string;
  readonly closes: boolean;
  /**
   * The readings that most likely went wrong, the likeliest first; instead is what that one would have to read, m, null where nothing says.
   */
  readonly blunder: { readonly lines: readonly Line[]; readonly instead: number | null } | null;
  /** The diagonal that would tell most. */
  readonly next: Line | null;
}

/** tapedAgain goes on with a survey that was called before. */
export const tapedAgain = (walk: Walk, measured: readonly Json[], write: (m: number) => string): Taping =>
  ({ ...startTaping, walk, measured, said: walk.map((s) => (s.length === null ? "" : write(s.length))), asks: walk.length > 2 ? "diagonal"
    : "length" });

/** Key of the pad. */
export type Key =
  | { readonly digit: string }
  /** A corner was tapped, or its letter pressed. */
  | { readonly corner: number }
  /** The diagonal that the engine asks for: taken up while nobody is at another. */
  | { readonly wanted: Line }
  /** A reading is taken anew, or mended to a length, or dropped. */
  | { readonly again: Line }
  | { readonly mend: Line; readonly length: number }
  | { readonly drop: number }
  | "ends" | "erase" | "left" | "right" | "free" | "other" | "arc" | "next" | "unreached" | "closing" | "from" | "to";

/**
 * near: a side that ends this close to the first corner closes the walk, m; the tape's own slack, and more where it was misread. The engine
 * judges it.
 */
const near = 0.15;

/** pressed is the survey after a key; a key that means nothing now leaves it as it is. read turns digits into metres. */
export function pressed(t: Taping, key: Key, read: (text: string) => number | null): Taping {
  if (typeof key === "object") return pointed(t, key);
  const x = t.typed === "" ? null : read(t.typed);
  switch (key) {
    case "erase": return erased(t);
    case "left": case "right": return t.asks === "diagonal" || t.asks === "again" ? t : turn(t, { hand: key, deg: t.asks === "other"
      ? degrees(t) : "square" }, x);
    case "free": return t.asks === "other" ? called(t, t.length, { hand: "free" }) : t;
    case "other": return t.asks === "length" && good(x) ? { ...t, asks: "other", typed: "", length: x, text: t.typed } : t.asks === "other"
      ? back(t) : t;
    case "arc": return t.asks === "other" ? { ...t, asks: "rise", typed: "" } : t;
    case "unreached": return t.asks === "length" && t.walk.length > 0 ? called(t, null, { hand: "left", deg: "square" }) : t;
    case "closing": return t.asks === "length" ? closedSo(t) : t;
    case "ends": return ended(t, x);
    case "from": case "to": return t.asks === "diagonal" ? letters(t, key) : t;
    case "next": return next(t, x);
  }
}

/** pointed is a key that names what it means. */
function pointed(t: Taping, key: Exclude<Key, string>): Taping {
  if ("digit" in key) return typing(t, key.digit);
  if ("corner" in key) return tapped(t, key.corner);
  if ("drop" in key) return { ...t, measured: t.measured.filter((_, i) => i !== key.drop) };
  if ("mend" in key) return mended(t, numbered(t, key.mend), key.length);
  const line = numbered(t, "wanted" in key ? key.wanted : key.again);
  if (!line) return t;
  if ("again" in key) return { ...t, ...line, asks: "again", typed: "", picked: null };
  return t.asks === "diagonal" && t.typed === "" && t.picked === null ? { ...t, ...line } : t;
}

type Numbers = { readonly from: number; readonly to: number };

/** numbered are the corners of a line by their letters; null where the walk has no such corners. */
function numbered(t: Taping, l: Line): Numbers | null {
  const of = (name: string): number => t.walk.findIndex((_, i) => cornerName(i) === name), from = of(l.from), to = of(l.to);
  return from < 0 || to < 0 ? null : { from, to };
}

/** tapped takes a corner: the first of a line, or the second; two neighbours mean the side between them, which is taken anew. */
function tapped(t: Taping, corner: number): Taping {
  if ((t.asks !== "diagonal" && t.asks !== "again") || corner < 0 || corner >= t.walk.length) return t;
  if (t.picked === null) return { ...t, asks: "diagonal", from: corner, picked: corner, typed: "" };
  if (t.picked === corner) return { ...t, picked: null };
  const line = { from: t.picked, to: corner };
  return { ...t, ...line, picked: null, asks: sideOf(t, line) === null ? "diagonal" : "again" };
}

/** sideOf is the side that a line runs along, null where it is a diagonal. */
function sideOf(t: Taping, { from, to }: Numbers): number | null {
  const n = t.walk.length;
  return (from + 1) % n === to ? from : (to + 1) % n === from ? to : null;
}

/** mended writes another length into the side or the diagonals that run along a line. */
function mended(t: Taping, line: Numbers | null, length: number): Taping {
  if (!line) return t;
  const side = sideOf(t, line), ends = [cornerName(line.from), cornerName(line.to)];
  const after: Taping = { ...t, asks: "diagonal", typed: "", picked: null };
  if (side !== null) {
    const { drawn: _, ...rest } = t.walk[side]!;
    return { ...after, walk: t.walk.with(side, { ...rest, length }), said: t.said.with(side, String(length)) };
  }
  return { ...after, measured: t.measured.map((m) => (ends.includes(textAt(m, ["from"]) ?? "") && ends.includes(textAt(m, ["to"]) ?? "")
    ? { from: textAt(m, ["from"])!, length_m: length, to: textAt(m, ["to"])! } : m)) };
}

/** ended ends the walk as it was called, whether it closes or not: the engine says by how much it misses, and why. */
function ended(t: Taping, x: number | null): Taping {
  if (t.asks !== "length") return t;
  const all = good(x) ? called(t, x, undefined) : t;
  return all.walk.length < 3 ? t : { ...all, asks: "diagonal", typed: "", from: 0, to: 2 };
}

const good = (m: number | null): m is number => m !== null && m >= 0.01 && m <= 500;

function typing(t: Taping, digit: string): Taping {
  if (t.typed.length >= 14 || (digit === "." && t.typed.includes("."))) return t;
  return { ...t, typed: t.typed === "0" && digit !== "." ? digit : t.typed + digit };
}

function erased(t: Taping): Taping {
  if (t.typed !== "") return { ...t, typed: t.typed.slice(0, -1) };
  if (t.asks === "other" || t.asks === "rise") return back(t);
  if (t.asks === "again" || t.picked !== null) return { ...t, asks: "diagonal", picked: null };
  if (t.measured.length > 0) return { ...t, measured: t.measured.slice(0, -1) };
  return { ...t, asks: "length", walk: t.walk.slice(0, -1), said: t.said.slice(0, -1), typed: t.said.at(-1) ?? "", length: null, text: "" };
}

/** back from a question about a side to its length. */
function back(t: Taping): Taping {
  const { rise: _, ...rest } = t;
  return { ...rest, asks: "length", typed: t.text, length: null, text: "" };
}

const degrees = (t: Taping): number | "square" => {
  const x = t.typed === "" ? 45 : Number(t.typed.replace(",", "."));
  return x > 0 && x < 180 && x !== 90 ? x : "square";
};

function turn(t: Taping, turned: Turn, x: number | null): Taping {
  if (t.asks === "other") return called(t, t.length, turned);
  if (t.asks === "rise") return x === null ? t : called({ ...t, rise: x }, t.length, turned);
  return good(x) ? called(t, x, turned) : t;
}

/** called adds a side with the turn at its end. */
function called(t: Taping, length: number | null, turned: Turn | undefined): Taping {
  if (t.walk.length >= mostSides) return t;
  const side: Side = { length, ...(t.rise === undefined ? {} : { rise: t.rise }), ...(turned ? { turn: turned } : {}) },
    { rise: _, ...rest } = t;
  const said = length === null ? "" : t.asks === "length" ? t.typed : t.text;
  return closed({ ...rest, walk: [...t.walk, side], said: [...t.said, said], typed: "", asks: "length", length: null, text: "" });
}

/** closed goes on to the diagonals where the walk is back at A. */
function closed(t: Taping): Taping {
  if (t.walk.length < 3 || t.walk.some((s) => s.length === null && s.drawn === undefined)) return t;
  const c = closing(t.walk);
  return c && c.gap <= near && once(t.walk) ? { ...t, asks: "diagonal", from: 0, to: 2 } : t;
}

/** once tells whether the turns without the one at A leave room for it: less than once round, and not back on itself. */
function once(walk: Walk): boolean {
  const sum = Math.abs(walk.slice(0, -1).reduce((a, s) => a + turnDeg(s.turn), 0));
  return sum > 185 && sum < 535;
}

/** next calls a side with a square turn to the side that the walk goes round, or asks on; a side that closes the walk has no turn. */
function next(t: Taping, x: number | null): Taping {
  if (t.asks === "again") return good(x) ? mended(t, t, x) : { ...t, asks: "diagonal", typed: "" };
  if (t.asks === "diagonal") {
    if (!good(x)) return t;
    const reading = { from: cornerName(t.from), length_m: x, to: cornerName(t.to) };
    return letters({ ...t, typed: "", measured: [...t.measured, reading] }, "both");
  }
  if (t.asks === "rise") return x === null ? t : called({ ...t, rise: x }, t.length, hand(t.walk));
  if (t.asks === "other") return called(t, t.length, { ...hand(t.walk), deg: degrees(t) } as Turn);
  if (!good(x)) return t;
  return called(t, x, closesWith(t, x) ? undefined : hand(t.walk));
}

/** hand is the usual turn: to the side that the walk has gone round so far, to the left at first. */
const hand = (walk: Walk): Turn => ({ hand: clockwise(walk) ? "right" : "left", deg: "square" });

/** closesWith tells whether a side of such a length would end at the first corner. */
export function closesWith(t: Taping, length: number): boolean {
  const c = closing([...t.walk, { length }]);
  return t.walk.length >= 2 && c !== null && c.gap <= near;
}

/** closedSo adds the sides that would close the walk as not reached: they are drawn, and not taken for measured. */
function closedSo(t: Taping): Taping {
  const c = closing(t.walk);
  if (!c) return t;
  const before = [...t.walk.slice(0, -1), { ...t.walk.at(-1)!, turn: byEye(c.two ? c.two.turn : c.one.turn) }], two = c.two;
  // Two sides that nobody reached lie where they lie by their square corners alone, the one at A among them.
  const sides: Side[] = two ? [{ length: null, drawn: two.first, turn: { hand: two.hand, deg: "square" } }, { length: null,
    drawn: two.second, turn: { hand: handAtA(before, two.hand), deg: "square" } }]
    : [{ length: null, drawn: c.one.length }];
  return { ...t, walk: [...before, ...sides], said: [...t.said, ...sides.map(() => "")], typed: "", asks: "diagonal", from: 0, to: 2 };
}

/** handAtA is the square turn at A that makes the turns once round. */
function handAtA(before: Walk, last: "left" | "right"): "left" | "right" {
  const sum = before.reduce((a, s) => a + turnDeg(s.turn), last === "left" ? 90 : -90);
  return around(-sum) < 0 ? "right" : "left";
}

/**
 * byEye is a turn that was worked out from the drawing: taken as square where it looks so, else known by its side only, never as measured.
 */
function byEye(deg: number): Turn {
  const hand = deg < 0 ? "right" : "left";
  return Math.abs(Math.abs(deg) - 90) < 0.5 ? { hand, deg: "square" } : { hand, deg: "free", drawn: Math.abs(deg) };
}

/** letters steps the corners that a diagonal runs between; neighbours have none. */
function letters(t: Taping, which: "from" | "to" | "both"): Taping {
  const n = t.walk.length, apart = (a: number, b: number): boolean => a !== b && Math.abs(a - b) !== 1 && Math.abs(a - b) !== n - 1;
  let { from, to } = t;
  if (which === "from" || which === "both") from = (from + 1) % n;
  if (which === "to" || which === "both") to = (to + 1) % n;
  for (let k = 0; k < n && !apart(from, to); k++) to = (to + 1) % n;
  return apart(from, to) ? { ...t, from, to, picked: null } : t;
}

/** Sketch is what the tape shows: the walk so far with the side being typed, and what would close it. */
export interface Sketch {
  readonly walk: Walk;
  readonly corners: readonly { readonly x: number; readonly y: number }[];
  readonly pending: boolean;
  readonly closing: Closing | null;
}

/** sketchOf lays out a survey with the side that is being typed. */
export function sketchOf(t: Taping, read: (text: string) => number | null): Sketch {
  const over = t.asks === "diagonal" || t.asks === "again", x = t.asks === "length" ? read(t.typed) : over ? null : t.length, pending =
    good(x);
  const walk = pending ? [...t.walk, { length: x }] : t.walk;
  return { walk, corners: laid(walk).corners, pending, closing: over || walk.length < 2 ? null : closing(walk) };
}
