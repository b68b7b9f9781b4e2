// The marks of the drawing: an edge's line and ticks, its name and dimension, arrows, north, the
// bar scale. Everything can be told apart in black and white.

import type { ComponentChildren } from "preact";
import type { Fields } from "../model/doc";
import { lengthOf, plus, times, unit, type Bend, type Point } from "../model/geometry";
import { textAt } from "../model/json";
import type { Words } from "../words/en";
import { foot } from "../words/length";
import type { Box } from "./room";
import { beside, edgePath, upright, xy, type Lie } from "./shape";
import { useSpeech, type Saying } from "./speech";
import { onSheet, type View } from "./view";

/**
 * Mark is how a condition looks: the line beside the outline, the ticks of a group, and whether the whole edge is hatched. No two are the
 * same.
 */
interface Mark {
  readonly dash: "solid" | "dashed" | "long" | "chain" | "double" | "dotted";
  readonly ticks: number;
  readonly hatched?: true;
}

const marks: { readonly [condition: string]: Mark } = {
  drip: { dash: "dashed", ticks: 1 }, verge: { dash: "long", ticks: 1 }, kerb: { dash: "solid", ticks: 1 }, wall: { dash: "solid", ticks: 3,
    hatched: true },
  parapet: { dash: "solid", ticks: 2 }, tuck: { dash: "dashed", ticks: 2 }, "box gutter": { dash: "double", ticks: 2 },
    "step up": { dash: "chain", ticks: 3 },
  "step down": { dash: "chain", ticks: 1 }, joins: { dash: "dotted", ticks: 1 },
};

/** How far marks, names and dimensions stand from the outline, pixels. */
const [markOff, tickReach, nameOff, chainOff] = [4.5, 9, 19, 44];

/** conditionOf an edge, null where nobody has said it. */
export const conditionOf = (edge: Fields): string | null => textAt(edge, ["condition"]) ?? null;

/** conditionName is a condition in the words of the catalogue. */
export function conditionName(words: Words, condition: string | null, which: "name" | "along"): string {
  const table: { readonly [condition: string]: { readonly name: string; readonly along: string } } = words.conditions;
  return condition === null ? words.unsaid : (table[condition]?.[which] ?? condition);
}

/** EdgeMark draws the line and ticks of a condition beside an edge. */
export function EdgeMark({ view, e, condition }: { readonly view: View; readonly e: Bend; readonly condition: string | null }) {
  const m = condition === null ? null : marks[condition];
  if (!m) return null;
  const long = lengthOf(e) * view.scale;
  if (m.hatched) return <path class="mark-tick" d={ticksAt(view, e, steps(long, 26))} />;
  const groups = steps(long, 110), per = 5 / long;
  const ticks = groups.flatMap((t) => Array.from({ length: m.ticks }, (_, k) => t + (k - (m.ticks - 1) / 2) * per));
  return <g>
    <path class={`mark-line ${m.dash}`} d={edgePath(view, e, markOff)} />
    <path class="mark-tick" d={ticksAt(view, e, ticks)} />
  </g>;
}

/** steps are fractions of an edge, evenly about so many pixels apart. */
function steps(long: number, apart: number): number[] {
  const n = Math.max(1, Math.round(long / apart));
  return Array.from({ length: n }, (_, k) => (k + 0.5) / n);
}

function ticksAt(view: View, e: Bend, at: readonly number[]): string {
  return at.map((t) => {
    const foot = beside(view, e, t, 1), head = beside(view, e, t, tickReach), way = unit({ x: beside(view, e, Math.min(1, t + 1e-3), 0)
      .x - beside(view, e, t, 0).x,
      y: beside(view, e, Math.min(1, t + 1e-3), 0).y - beside(view, e, t, 0).y });
    return `M${xy(foot)}L${xy(plus(head, times(way, 6)))}`;
  }).join("");
}

/** Edge's words: name and length where there is room, else the length alone. */
export function EdgeWords({ view, e, edge, lie, chosen }: { readonly view: View; readonly e: Bend; readonly edge: Fields; readonly lie: Lie;
  readonly chosen: boolean }) {
  const say = useSpeech(), long = lengthOf(e) * view.scale, condition = conditionOf(edge);
  const length = say.length(lengthOf(e)), name = nameOf(say, edge);
  const chain = lie.free && long > 34 && e.bulge === 0;
  const fits = (text: string): boolean => text.length * 7 + 12 < long;
  const bare = condition === null ? "?" : conditionName(say.words, condition, "name");
  const texts = chain ? [name, bare] : [`${name} · ${length}`, `${bare} · ${length}`, length];
  const text = texts.find(fits) ?? (chosen ? length : chain || long < 30 ? "" : length);
  const side = lie.beyond ? -nameOff + 3 : nameOff;
  return <g class={chosen ? "words chosen" : "words"}>
    {text && <Along view={view} e={e} off={side} class={condition === null ? "edge-name unsaid" : "edge-name"}>{text}</Along>}
    {chain && <Chain view={view} e={e} text={length} />}
  </g>;
}

function nameOf(say: Saying, edge: Fields): string {
  const condition = conditionOf(edge), height = edge["height_mm"], to = textAt(edge, ["to"]);
  const high = typeof height === "number" && height > 0 ? ` ${height}` : "";
  return conditionName(say.words, condition, "along") + high + (to ? ` (${to})` : "");
}

/** Along writes words along an edge, outside of it by so many pixels. */
function Along({ view, e, off, class: name, children }: { readonly view: View; readonly e: Bend; readonly off: number;
  readonly class: string; readonly children: ComponentChildren }) {
  const p = beside(view, e, 0.5, off), a = onSheet(view, e.a), b = onSheet(view, e.b);
  return <text class={name} x={p.x} y={p.y} text-anchor="middle" dominant-baseline="central"
    transform={`rotate(${upright({ x: b.x - a.x, y: b.y - a.y })} ${p.x} ${p.y})`}>{children}</text>;
}

/** Chain is a dimension by ISO 129-1: extension lines, oblique strokes, the figure over the line. */
function Chain({ view, e, text }: { readonly view: View; readonly e: Bend; readonly text: string }) {
  const at = (t: number, off: number): Point => beside(view, e, t, off), a = at(0, chainOff), b = at(1, chainOff),
    way = unit({ x: b.x - a.x, y: b.y - a.y });
  const stroke = (p: Point): string => {
    const d = times(unit({ x: way.x + way.y, y: way.y - way.x }), 7);
    return `M${xy({ x: p.x - d.x, y: p.y - d.y })}L${xy(plus(p, d))}`;
  };
  return <g>
    <path class="hair" d={`M${xy(at(0, 28))}L${xy(at(0, chainOff + 6))}M${xy(at(1, 28))}L${xy(at(1, chainOff + 6))}M${xy(a)}L${xy(b)}`} />
    <path class="tick" d={stroke(a) + stroke(b)} />
    <Along view={view} e={e} off={chainOff + 11} class="dimension">{text}</Along>
  </g>;
}

/** upwards tells whether an arrow runs more up or down the sheet than across it: its words stand to the right of it then, else over it. */
const upwards = (way: Point): boolean => Math.abs(unit(way).y) > 0.7;

/** arrowBox is how far the words of an arrow reach from its middle; a letter of 13 pixels is 7 wide. */
export function arrowBox(way: Point, text: string): Box {
  const wide = 7 * text.length;
  return upwards(way) ? { left: 0, right: 12 + wide, up: 8, down: 8 } : { left: wide / 2, right: wide / 2, up: 20, down: 0 };
}

/** FallArrow points downhill, with its ratio beside it where there is room. */
export function FallArrow({ at, way, text, chosen }: { readonly at: Point; readonly way: Point; readonly text: string;
  readonly chosen: boolean }) {
  const d = unit({ x: way.x, y: -way.y }), side = { x: -d.y, y: d.x };
  const tail = plus(at, times(d, -32)), head = plus(at, times(d, 32)), neck = plus(at, times(d, 19));
  const right = upwards(way), words = plus(at, right ? { x: 12, y: 0 } : { x: 0, y: -12 });
  return <g class={chosen ? "fall chosen" : "fall"}>
    <path class="tick" d={`M${xy(tail)}L${xy(neck)}`} />
    <path class="fall-head" d={`M${xy(plus(neck, times(side, 6)))}L${xy(head)}L${xy(plus(neck, times(side, -6)))}Z`} />
    {text && <text class="fall-ratio" x={words.x} y={words.y} text-anchor={right ? "start" : "middle"} dominant-baseline="central">{text}
      </text>}
  </g>;
}

/** ExitMark is a ladder, its word so many pixels off. */
export function ExitMark({ at, text, off, chosen }: { readonly at: Point; readonly text: string; readonly off: Point;
  readonly chosen: boolean }) {
  const { x, y } = at;
  return <g class={chosen ? "exit chosen" : "exit"}>
    <path class="tick" transform={`translate(${x} ${y})`} d="M-6,-13V13M6,-13V13M-6,-7H6M-6,0H6M-6,7H6" />
    <text class="edge-name" x={x + off.x} y={y + off.y} text-anchor={off.x < 0 ? "end" : off.x > 0 ? "start" : "middle"}
      dominant-baseline="central">{text}</text>
  </g>;
}

/** North points to true north; bearing is that of the drawing's up direction, degrees. */
export function North({ x, y, bearing }: { readonly x: number; readonly y: number; readonly bearing: number }) {
  const say = useSpeech();
  return <g aria-hidden="true" transform={`translate(${x} ${y})`}>
    <path class="tick" transform={`rotate(${-bearing})`} d="M0,16V-20M0,-20l-6,12M0,-20l6,12" />
    <text class="north" x="0" y="32" text-anchor="middle">{say.words.sheet.north}</text>
  </g>;
}

/** BarScale stands for prints that are fitted to a page; its length is a round one of at most so many pixels. */
export function BarScale({ view, x, y, most }: { readonly view: View; readonly x: number; readonly y: number; readonly most: number }) {
  const say = useSpeech(), unit = say.units === "feet" ? foot : 1,
    whole = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50].map((n) => n * unit).filter((m) => m * view.scale <= most).at(-1) ?? 0.1 * unit,
      long = whole * view.scale;
  return <g aria-hidden="true" transform={`translate(${x} ${y})`}>
    <path class="tick" d={`M0,0H${long}M0,-5V5M${long / 2},-3V3M${long},-5V5`} />
    <text class="small" x="0" y="-9" text-anchor="middle">0</text>
    <text class="small" x={long} y="-9" text-anchor="middle">{say.withUnit(whole)}</text>
  </g>;
}
