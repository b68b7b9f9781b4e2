// One deck on the sheet, with all that stands on it, what can be hit, and the handles of what is
// chosen. Every piece of the drawing has its name for those who do not see it.

import { choiceOf } from "../model/choice";
import type { Deck, Doc, Id, Piece } from "../model/doc";
import { arrowsOf, drawnArea, kindOf, lineOf } from "../model/falls";
import { deckName } from "../model/find";
import { along, bends, boundsOf, inside, lengthOf, outward, pointOf, type Point } from "../model/geometry";
import { at as fieldAt, isFields, numberAt, textAt } from "../model/json";
import { extentOf } from "../model/pieces";
import { handlesOf, hitText } from "./gesture";
import { arrowBox, conditionName, conditionOf, EdgeMark, EdgeWords, ExitMark, FallArrow } from "./marks";
import { arrowsAt, clearOf, fitsIn, jointHasRoom, wordsAt } from "./room";
import { edgePath, joistLines, lieOf, pathOf, ringPath, upright } from "./shape";
import { useSpeech, type Saying } from "./speech";
import { inMetres, onSheet, type View } from "./view";

/** Drawn is what every part of a deck's drawing is given. */
interface Given {
  readonly doc: Doc;
  readonly deck: Deck;
  readonly view: View;
  readonly chosen: Id | null;
  /** Heights above the lowest point of a deck, mm: of its corners, and under its own id of its highest point. */
  readonly heights?: ReadonlyMap<Id, number>;
}

/** rowId is the id of an element of the drawing, for aria-activedescendant. */
export const rowId = (chosen: Id): string => `on-sheet-${chosen.replace("@", "-")}`;

/** DeckGround is the surface of a deck, drawn before the lines of any. */
export function DeckGround({ doc, deck, view, chosen }: Given) {
  const say = useSpeech(), choice = choiceOf(chosen), whole = choice?.id === deck.id && choice.part === null;
  return <path class={whole ? "deck chosen" : "deck"} d={ringPath(view, bends(deck.corners))} data-hit={hitText("deck", deck.id)}
    id={rowId(deck.id)} role="img"
    aria-label={say.words.sheet.deck(deckName(doc, deck), say.area(drawnArea(deck)))} />;
}

export function DeckDrawing(given: Given) {
  const { doc, deck, view, chosen } = given, ring = bends(deck.corners), own = doc.decks.indexOf(deck);
  const say = useSpeech(), choice = choiceOf(chosen);
  const lies = ring.map((_, i) => lieOf(doc, ring, i, own));
  return <g>
    <Joists {...given} />
    <FallLine {...given} />
    {ring.map((e, i) => <EdgeMark key={deck.corners[i]!.id} view={view} e={e} condition={conditionOf(deck.corners[i]!.edge)} />)}
    <path class="outline" d={ringPath(view, ring)} />
    {ring.map((e, i) => {
      const c = deck.corners[i]!, on = choice?.id === c.id && choice.part === null, what = conditionName(say.words, conditionOf(c.edge),
        "name");
      return <g key={c.id} id={rowId(c.id)} role="img" aria-label={say.words.sheet.edge(i + 1, what, say.withUnit(lengthOf(e)))}>
        {on && <path class="edge-chosen" d={edgePath(view, e)} />}
        <EdgeWords view={view} e={e} edge={c.edge} lie={lies[i]!} chosen={on} />
        <path class="hit-line" d={edgePath(view, e)} data-hit={hitText("edge", c.id)} />
      </g>;
    })}
    <Area {...given} />
    {deck.openings.map((p) => <Opening key={p.id} {...given} piece={p} />)}
    {deck.penetrations.map((p) => <Penetration key={p.id} {...given} piece={p} />)}
    {deck.movement_joints.map((p) => <Joint key={p.id} {...given} piece={p} />)}
    <Falls {...given} />
    <Exit {...given} />
    <Handles {...given} />
    {choice?.id === deck.id && choice.part === "fall" && <Heights {...given} />}
    {deck.corners.map((c, i) => <Corner key={c.id} at={onSheet(view, c)} id={c.id} chosen={choice?.id === c.id && choice.part === "corner"}
      label={say.words.sheet.corner(i + 1, say.length(c.x), say.length(c.y))} />)}
    {choice?.id === deck.id && choice.part === "fall" && <FallEnds {...given} />}
  </g>;
}

function Corner({ at, id, chosen, label }: { readonly at: Point; readonly id: Id; readonly chosen: boolean; readonly label: string }) {
  return <g id={rowId(`${id}@corner`)} role="img" aria-label={label} class="corner">
    <circle class={chosen ? "knob chosen" : "knob"} cx={at.x} cy={at.y} r={chosen ? 8 : 4.5} />
    <circle class="hit" cx={at.x} cy={at.y} r="22" data-hit={hitText("corner", id)} />
  </g>;
}

/** Area stands where there is room, with the deck's name and level where there are several. */
function Area({ doc, deck, view }: Given) {
  const say = useSpeech(), ring = bends(deck.corners);
  if (ring.length < 3) return null;
  const level = deck.fields["level_m"];
  const name = doc.decks.length > 1 ? deckName(doc, deck) + (typeof level === "number" ? ` ${level >= 0 ? "+" : ""}${say.length(level)}`
    : "") : "", area = say.area(drawnArea(deck));
  // Letters of 18 pixels are 10 wide, of 14 pixels 8, of 12 pixels 6.
  const half = Math.max(5 * area.length, 4 * name.length), under = 3 * say.words.list.within.length;
  const place = wordsAt(deck, view.scale, { left: half, right: half, up: name ? 28 : 12, down: 8 }), p = onSheet(view, place.at);
  // On a strip too narrow for its figure, or too full, the list alone says it.
  if (place.room * view.scale < 13) return null;
  const roomy = fitsIn(deck, view.scale, place.at, { left: under, right: under, up: 12, down: 28 });
  return <text class="area" x={p.x} y={p.y} text-anchor="middle" aria-hidden="true">
    {name && <tspan x={p.x} dy="-1.1em" class="deck-name">{name}</tspan>}
    <tspan x={p.x} dy={name ? "1.2em" : "0.1em"}>{area}</tspan>
    {roomy && <tspan x={p.x} dy="1.25em" class="area-of">{say.words.list.within}</tspan>}
  </text>;
}

function Falls({ doc, deck, view, chosen }: Given) {
  const say = useSpeech(), c = choiceOf(chosen), on = c?.id === deck.id && c.part === "fall";
  const point = pointOf(fieldAt(deck.fields, ["fall", "to_point"])), ratio = numberAt(deck.fields, ["fall", "ratio"]);
  return <g id={rowId(`${deck.id}@fall`)} role="img" aria-label={say.words.sheet.fall(arrowsOf(deck)
    .map((a) => say.words.falls.ratio(a.ratio)).join(", ") || kindName(say, deck), deckName(doc, deck))}>
    {arrowsAt(deck, view.scale).map((a) => {
      const p = onSheet(view, a.where), text = say.words.sheet.fallAlong(say.words.falls.ratio(a.ratio));
      const roomy = on || clearOf(deck, view.scale, a.where, arrowBox(a.towards, text));
      return <g key={a.plane}>
        <FallArrow at={p} way={a.towards} text={roomy ? text : ""} chosen={on} />
        <circle class="hit" cx={p.x} cy={p.y} r="32" data-hit={hitText("fall", deck.id, a.plane)} />
      </g>;
    })}
    {point && <g class={on ? "fall chosen" : "fall"}><circle class="tick" cx={onSheet(view, point).x} cy={onSheet(view, point).y} r="9" />
      <path class="tick" d={ROUND_ARROWS} transform={`translate(${onSheet(view, point).x} ${onSheet(view, point).y})`} />
      <text class="fall-ratio" x={onSheet(view, point).x + 22}
        y={onSheet(view, point).y - 14}>{say.words.sheet.fallAlong(say.words.falls.ratio(ratio ?? null))}</text>
      <circle class="hit" cx={onSheet(view, point).x} cy={onSheet(view, point).y} r="22" data-hit={hitText("point", deck.id)} /></g>}
  </g>;
}

/** ROUND_ARROWS point to an outlet from four sides. */
const ROUND_ARROWS = "M-30,0H-13M-17,-4L-12,0L-17,4M30,0H13M17,-4L12,0L17,4M0,-30V-13M-4,-17L0,-12L4,-17M0,30V13M-4,17L0,12L4,17";

function kindName(say: Saying, deck: Deck): string {
  const kind = kindOf(deck);
  return kind === null ? say.words.falls.none : say.words.falls[kind];
}

/**
 * Joists run under a deck as its fields say: hairlines in their direction and spacing, their words along the middle one while the deck is
 * chosen.
 */
function Joists({ deck, view, chosen }: Given) {
  const say = useSpeech(), lines = joistLines(deck), c = choiceOf(chosen), on = c?.id === deck.id && c.part === null,
    clip = `under-${deck.id}`;
  if (lines.length === 0) return null;
  const middle = lines[lines.length >> 1]!, [a, b] = [onSheet(view, middle[0]), onSheet(view, middle[1])], x = a.x * 0.7 + b.x * 0.3,
    y = a.y * 0.7 + b.y * 0.3;
  const spacing = numberAt(deck.fields, ["base", "joist_spacing_mm"]) ?? 0, span = numberAt(deck.fields, ["base", "joist_span_m"]);
  return <g aria-hidden="true" class={on ? "joists chosen" : "joists"}>
    <clipPath id={clip}><path d={ringPath(view, bends(deck.corners))} /></clipPath>
    <path clip-path={`url(#${clip})`} class="joist-line" d={lines.map((l) => pathOf(view, l, false)).join("")} />
    {on && <text class="edge-name" x={x} y={y - 6} text-anchor="middle"
      transform={`rotate(${upright({ x: b.x - a.x, y: b.y - a.y })} ${x} ${y})`}>
      {say.words.sheet.joists(String(spacing), span === undefined ? "" : say.withUnit(span))}</text>}
  </g>;
}

/** Heights stand inside the corners while the fall is chosen, mm above the lowest point. */
function Heights({ deck, view, heights }: Given) {
  const ring = bends(deck.corners), n = ring.length;
  return <g aria-hidden="true">{deck.corners.map((c, i) => {
    const high = heights?.get(c.id);
    if (high === undefined) return null;
    const inward = [ring[i]!, ring[(i + n - 1) % n]!].map((e) => outward({ ...e, bulge: 0 }, 0.5)), p = onSheet(view, c);
    const x = p.x - (inward[0]!.x + inward[1]!.x) * 22, y = p.y + (inward[0]!.y + inward[1]!.y) * 14;
    return <text key={c.id} class="corner-height" x={x} y={y} text-anchor="middle" dominant-baseline="central">{high > 0
      ? `+${Math.round(high)}` : "0"}</text>;
  })}</g>;
}

/** FallEnds are the ends of a ridge, hip or valley while the fall is chosen, over the edges and corners that they lie on. */
function FallEnds({ deck, view }: Given) {
  const say = useSpeech(), line = lineOf(deck), kind = kindOf(deck);
  if (!line || kind === null) return null;
  return <g>{line.map((p, i) => {
    const { x, y } = onSheet(view, p);
    return <g key={i} role="img" aria-label={say.words.sheet.lineEnd(say.words.falls[kind], i + 1)}>
      <circle class="knob chosen" cx={x} cy={y} r="7" /><circle class="hit" cx={x} cy={y} r="22" data-hit={hitText("line", deck.id,
        String(i))} />
    </g>;
  })}</g>;
}

function FallLine({ deck, view, chosen, heights }: Given) {
  const say = useSpeech(), line = lineOf(deck), kind = kindOf(deck), c = choiceOf(chosen), high = c?.id === deck.id && c.part === "fall"
    ? heights?.get(deck.id) : undefined;
  if (!line || kind === null) return null;
  const [a, b] = [onSheet(view, line[0]), onSheet(view, line[1])], mid = { x: a.x * 0.65 + b.x * 0.35, y: a.y * 0.65 + b.y * 0.35 };
  const deg = (Math.atan2(b.y - a.y, b.x - a.x) * 180) / Math.PI, angle = deg > 90 ? deg - 180 : deg < -90 ? deg + 180 : deg;
  return <g class="fold">
    <path class="fold-line" d={pathOf(view, line, false)} />
    <text class="edge-name" x={mid.x} y={mid.y - 8} text-anchor="middle" transform={`rotate(${angle} ${mid.x} ${mid.y})`}>
      {say.words.falls[kind]}{high !== undefined && kind !== "valley" && ` +${Math.round(high)}`}</text>
  </g>;
}

function Exit({ doc, deck, view, chosen }: Given) {
  const say = useSpeech(), p = pointOf(deck.fields["exit"]), c = choiceOf(chosen);
  if (!p) return null;
  const at = onSheet(view, p), inner = boundsOf(deck.corners), middle = { x: (inner.low.x + inner.high.x) / 2,
    y: (inner.low.y + inner.high.y) / 2 };
  // The word stands on the side of the roof, so that it does not meet the name of the edge.
  const dx = middle.x - p.x, dy = middle.y - p.y, beside = Math.abs(dx) > Math.abs(dy);
  return <g id={rowId(`${deck.id}@exit`)} role="img" aria-label={say.words.sheet.exit(deckName(doc, deck))}>
    <ExitMark at={at} text={say.words.sheet.exitAlong} off={beside ? { x: dx < 0 ? -12 : 12, y: 0 } : { x: 0, y: dy < 0 ? 24 : -24 }}
      chosen={c?.id === deck.id && c.part === "exit"} />
    <circle class="hit" cx={at.x} cy={at.y} r="22" data-hit={hitText("exit", deck.id)} />
  </g>;
}

/** pieceLabel names a piece for people: its kind, its name, its size. */
export function pieceLabel(say: Saying, list: "openings" | "penetrations" | "movement_joints", p: Piece): string {
  const { low, high } = extentOf(list, p), kind = kindWord(say, list, p);
  const size = list === "penetrations" ? "" : `${say.length(high.x - low.x)} × ${say.length(high.y - low.y)}`;
  return say.words.sheet.piece(kind, textAt(p.fields, ["name"]) ?? "", size);
}

/** kindWord is a piece's kind in the words of the catalogue. */
export function kindWord(say: Saying, list: string, p: Piece): string {
  const kinds: { readonly [kind: string]: string } = say.words.kinds;
  return list === "movement_joints" ? say.words.kinds.joint : (kinds[textAt(p.fields, ["kind"]) ?? ""] ?? textAt(p.fields, ["kind"])
    ?? say.words.unsaid);
}

type Pieced = Given & { readonly piece: Piece };

/**
 * roomBeside tells whether so many pixels to the right of an opening are free of other openings and of the deck's edge; where they are not,
 * the list alone names it.
 */
function roomBeside(deck: Deck, view: View, piece: Piece, at: Point, wide: number): boolean {
  const p = inMetres(view, at), far = (wide + 8) / view.scale, { low, high } = extentOf("openings", piece);
  const taken = deck.openings.some((o) => {
    const e = extentOf("openings", o);
    return o !== piece && e.low.x < p.x + far && e.high.x > p.x && e.low.y < high.y && e.high.y > low.y;
  });
  return !taken && inside(bends(deck.corners), { x: p.x + far, y: (low.y + high.y) / 2 });
}

function Opening({ deck, view, piece, chosen }: Pieced) {
  const say = useSpeech(), { low, high } = extentOf("openings", piece), on = chosen === piece.id;
  const a = onSheet(view, { x: low.x, y: high.y }), b = onSheet(view, { x: high.x, y: low.y }), w = b.x - a.x, h = b.y - a.y,
    grow = Math.max(0, 22 - Math.min(w, h) / 2);
  const round = piece.fields["centre"] !== undefined, name = textAt(piece.fields, ["name"]) ?? "", kind = kindWord(say, "openings", piece);
  const text = name || kind, within = text.length * 7.5 < w && h > 18, beside = on || roomBeside(deck, view, piece, b, text.length * 7.5),
    corners = cornersOf(piece);
  return <g id={rowId(piece.id)} role="img" aria-label={pieceLabel(say, "openings", piece)} class={on ? "piece chosen" : "piece"}>
    {round ? <circle class="hole" cx={(a.x + b.x) / 2} cy={(a.y + b.y) / 2} r={w / 2} />
      : corners ? <path class="hole" d={pathOf(view, corners, true)} /> : <rect class="hole" x={a.x} y={a.y} width={w} height={h} />}
    {!corners && !round && <path class="hair" d={`M${a.x},${a.y}L${b.x},${b.y}M${b.x},${a.y}L${a.x},${b.y}`} />}
    {(within || beside) && <text class="piece-name" x={within ? (a.x + b.x) / 2 : b.x + 6} y={(a.y + b.y) / 2} text-anchor={within
      ? "middle" : "start"}
      dominant-baseline="central">{text}</text>}
    <rect class="hit" x={a.x - grow} y={a.y - grow} width={w + 2 * grow} height={h + 2 * grow} data-hit={hitText("piece", piece.id)} />
  </g>;
}

function cornersOf(p: Piece): Point[] | null {
  const list = p.fields["corners"];
  return Array.isArray(list) ? list.map((v) => pointOf(v)).filter((q) => q !== null) : null;
}

function Penetration({ view, piece, chosen }: Pieced) {
  const say = useSpeech(), p = pointOf(piece.fields["at"]);
  if (!p) return null;
  const { low, high } = extentOf("penetrations", piece), at = onSheet(view, p), r = Math.max(6, ((high.x - low.x) / 2) * view.scale),
    kind = textAt(piece.fields, ["kind"]);
  const square = piece.fields["width_mm"] !== undefined && piece.fields["diameter_mm"] === undefined, drains = kind === "outlet" || kind ===
    "overflow";
  return <g id={rowId(piece.id)} role="img" aria-label={pieceLabel(say, "penetrations", piece)} class={chosen === piece.id ? "piece chosen"
    : "piece"}>
    {square ? <rect class="hole" x={at.x - r} y={at.y - r} width={2 * r} height={2 * r} /> : <circle class="hole" cx={at.x} cy={at.y}
      r={r} />}
    {drains ? <path class="tick" d={`M${at.x - r - 5},${at.y}H${at.x + r + 5}M${at.x},${at.y - r - 5}V${at.y + r + 5}`} /> : <circle
      class="dot" cx={at.x} cy={at.y} r="1.6" />}
    <text class="piece-name" x={at.x + r + 8} y={at.y - 8} text-anchor="start">{textAt(piece.fields, ["name"]) || kindWord(say,
      "penetrations", piece)}</text>
    <circle class="hit" cx={at.x} cy={at.y} r={Math.max(22, r)} data-hit={hitText("piece", piece.id)} />
  </g>;
}

/** jointWordsPX is the length that the words of a joint take beside it; a shorter joint goes without. */
const jointWordsPX = 110;

function Joint({ deck, view, piece, chosen }: Pieced) {
  const say = useSpeech(), ends = handlesOf("movement_joints", piece);
  if (ends.length !== 2) return null;
  const [a, b] = [onSheet(view, ends[0]!), onSheet(view, ends[1]!)], d = pathOf(view, ends, false);
  // Off the middle, where a ridge or the next joint often crosses.
  const place = along({ a: ends[0]!, b: ends[1]!, bulge: 0 }, 0.25), at = onSheet(view, place), turn = upright({ x: b.x - a.x,
    y: b.y - a.y });
  const roomy = Math.hypot(b.x - a.x, b.y - a.y) >= 2 * jointWordsPX
    && jointHasRoom({ ...deck, movement_joints: deck.movement_joints.filter((j) => j !== piece) }, view.scale, place, turn);
  return <g id={rowId(piece.id)} role="img" aria-label={pieceLabel(say, "movement_joints", piece)} class={chosen === piece.id
    ? "piece chosen" : "piece"}>
    <path class="joint" d={d} />
    {roomy && <text class="piece-name" x={at.x} y={at.y - 5} text-anchor="middle"
      transform={`rotate(${turn} ${at.x} ${at.y})`}>{say.words.kinds.joint}</text>}
    <path class="hit-line" d={d} data-hit={hitText("piece", piece.id)} />
  </g>;
}

/** Handles of what is chosen: the rise of an edge, the size of a piece. */
function Handles({ deck, view, chosen }: Given) {
  const say = useSpeech(), c = choiceOf(chosen);
  if (!c || c.part !== null) return null;
  const i = deck.corners.findIndex((x) => x.id === c.id), e = i < 0 ? null : bends(deck.corners)[i]!;
  if (e && !isFields(deck.fields["survey"])) {
    const p = onSheet(view, along(e, 0.5));
    return <g><rect class="knob chosen" x={p.x - 6} y={p.y - 6} width="12" height="12" transform={`rotate(45 ${p.x} ${p.y})`} />
      {e.bulge !== 0 && <text class="dimension" x={p.x + 14} y={p.y - 12}>{say.words.sheet.rise(say.length(riseOf(e)))}</text>}
      <circle class="hit" cx={p.x} cy={p.y} r="16" data-hit={hitText("bend", c.id)} /></g>;
  }
  for (const list of ["openings", "movement_joints"] as const) {
    const piece = deck[list].find((p) => p.id === c.id);
    if (piece) return <g>{handlesOf(list, piece).map((h, k) => {
      const p = onSheet(view, h);
      return <g key={k}><rect class="knob chosen" x={p.x - 5} y={p.y - 5} width="10" height="10" /><circle class="hit" cx={p.x} cy={p.y}
        r="16" data-hit={hitText("size", c.id, String(k))} /></g>;
    })}</g>;
  }
  return null;
}

const riseOf = (e: { readonly a: Point; readonly b: Point; readonly bulge: number }): number => (e.bulge * Math.hypot(e.b.x - e.a.x,
  e.b.y - e.a.y)) / 2;
