// What was called, as it lies: the outline so far, what would close it, its diagonals, and the
// reading that spoils it.

import { useMemo } from "preact/hooks";
import type { Json } from "../model/doc";
import { boundsOf, distance, type Point } from "../model/geometry";
import { numberAt, textAt } from "../model/json";
import { cornerName } from "../model/walk";
import { pathOf, upright } from "./shape";
import { useSpeech } from "./speech";
import type { Judgement, Sketch, Taping } from "./taping";
import { fit, onSheet, type View } from "./view";

/** Walked is the outline so far; once it is ended its corners are tapped for a diagonal, or two neighbours for the side between. */
export function Walked({ sketch: s, taping: t, judged, onCorner }: {
  readonly sketch: Sketch; readonly taping: Taping; readonly judged: Judgement | null; readonly onCorner: (i: number) => void }) {
  const say = useSpeech(), w = say.words.tape, size = { x: 390, y: judged ? 240 : 330 }, first = s.corners[0]!, last = s.corners.at(-1)!,
    between = s.closing?.two?.between;
  const view = useMemo(() => {
    const { low, high } = boundsOf(between ? [...s.corners, between] : s.corners);
    // A sheet that does not shrink with the first side: four metres at least.
    return fit({ low, high: { x: Math.max(high.x, low.x + 4), y: Math.max(high.y, low.y + 3) } }, size.x, size.y, 48);
  }, [s.corners, between, size.y]);
  const sides = s.corners.slice(1).map((q, i) => [s.corners[i]!, q] as const), closed = t.asks === "diagonal" || t.asks === "again";
  const named = (name: string): Point | undefined => s.corners[t.walk.findIndex((_, i) => cornerName(i) === name)];
  return <svg class="tape-svg" viewBox={`0 0 ${size.x} ${size.y}`} role={closed ? "group" : "img"} aria-label={w.soFar(t.walk.length)}>
    <path class="draft-line" d={pathOf(view, s.pending ? s.corners.slice(0, -1) : s.corners, false)} />
    {s.pending && <path class="draft-rubber" d={pathOf(view, s.corners.slice(-2), false)} />}
    {s.closing && <path class="draft-close" d={pathOf(view, between ? [last, between, first] : [last, first], false)} />}
    {closed && s.corners[t.from] && s.corners[t.to] && <path class="tape-diagonal" d={pathOf(view, [s.corners[t.from]!, s.corners[t.to]!],
      false)} />}
    {t.measured.map((m, i) => <Measured key={`m${i}`} view={view} corners={s.corners} reading={m} />)}
    {sides.map(([a, b], i) => <SideLength key={i} view={view} a={a} b={b} inner={middleOf(s.corners)} live={s.pending && i ===
      sides.length - 1}
      text={(s.walk[i]?.length ?? null) === null ? `(${say.length(distance(a, b))})` : say.length(distance(a, b))} />)}
    {s.closing && !between && <SideLength view={view} a={last} b={first} inner={middleOf(s.corners)}
      text={say.length(s.closing.gap)} soft />}
    {s.closing && between && s.closing.two && [[last, between, s.closing.two.first], [between, first, s.closing.two.second]].map(([a, b, m],
      i) =>
      <SideLength key={`c${i}`} view={view} a={a as Point} b={b as Point} inner={middleOf(s.corners)}
        text={say.length(m as number)} soft />)}
    {closed && judged?.blunder?.lines.map((l, i) => <Suspect key={`b${i}`} view={view} a={named(l.from)} b={named(l.to)}
      sure={judged.blunder?.lines.length === 1} />)}
    {s.corners.slice(0, closed ? t.walk.length : undefined).map((c, i, all) => <g key={i}>
      <circle class={!closed && i === all.length - 1 && i > 0 ? "knob chosen" : "knob"} cx={onSheet(view, c).x} cy={onSheet(view, c).y}
        r={!closed && i === all.length - 1 && i > 0 ? 7 : 5} />
      {(i === 0 || distance(c, first) > 0.3) && <text class="small" x={onSheet(view, c).x + (c.x < middleOf(s.corners).x ? -9 : 9)}
        y={onSheet(view, c).y - 9}
        text-anchor={c.x < middleOf(s.corners).x ? "end" : "start"}>{cornerName(i)}</text>}</g>)}
    {closed && s.corners.slice(0, t.walk.length).map((c, i) => <Target key={`t${i}`} at={onSheet(view, c)} name={w.corner(cornerName(i))}
      picked={t.picked === i}
      onTap={() => onCorner(i)} />)}
    {judged && judged.brief !== "" && <text class={judged.closes ? "tape-verdict" : "tape-verdict stop"} x={size.x / 2} y={size.y - 8}
      text-anchor="middle">{judged.brief}</text>}
  </svg>;
}

/** Target is a corner that can be tapped, 48 pixels wide. */
function Target({ at, name, picked, onTap }: { readonly at: Point; readonly name: string; readonly picked: boolean; readonly onTap: () =>
  void }) {
  return <g role="button" tabindex={0} aria-label={name} aria-pressed={picked} class="tape-corner" onClick={onTap} onKeyDown={(e) => {
    if (e.key !== "Enter" && e.key !== " ") return;
    e.preventDefault();
    e.stopPropagation();
    onTap();
  }}>
    {picked && <circle class="guide-ring" cx={at.x} cy={at.y} r="12" />}
    <circle class="hit" cx={at.x} cy={at.y} r="24" />
  </g>;
}

/** Suspect marks the reading that most likely went wrong, by a thick line and the square of a stop. */
function Suspect({ view, a, b, sure }: { readonly view: View; readonly a: Point | undefined; readonly b: Point | undefined;
  readonly sure: boolean }) {
  if (!a || !b) return null;
  const p = onSheet(view, a), q = onSheet(view, b), x = p.x * 0.7 + q.x * 0.3, y = p.y * 0.7 + q.y * 0.3;
  return <g class="tape-suspect" aria-hidden="true"><path d={pathOf(view, [a, b], false)} stroke-dasharray={sure ? undefined : "10 6"} />
    <rect x={x - 10} y={y - 10} width="20" height="20" /><text x={x} y={y} text-anchor="middle" dominant-baseline="central">!</text></g>;
}

/** Measured is a diagonal that was called, along its line. */
function Measured({ view, corners, reading }: { readonly view: View; readonly corners: readonly Point[]; readonly reading: Json }) {
  const say = useSpeech(), length = numberAt(reading, ["length_m"]) ?? 0, names = corners.map((_, i) => cornerName(i));
  const from = textAt(reading, ["from"]) ?? "", to = textAt(reading, ["to"]) ?? "", a = corners[names.indexOf(from)],
    b = corners[names.indexOf(to)];
  if (!a || !b) return null;
  const p = onSheet(view, a), q = onSheet(view, b), x = p.x * 0.6 + q.x * 0.4, y = p.y * 0.6 + q.y * 0.4;
  return <g><path class="hair" stroke-dasharray="8 5" d={pathOf(view, [a, b], false)} />
    <text class="edge-name" x={x} y={y - 7} text-anchor="middle"
      transform={`rotate(${upright({ x: q.x - p.x, y: q.y - p.y })} ${x} ${y})`}>{say.words.tape.checked(from, to, say.length(length))}
      </text></g>;
}

const middleOf = (ps: readonly Point[]): Point => ({ x: ps.reduce((s, p) => s + p.x, 0) / ps.length, y: ps.reduce((s, p) => s + p.y,
  0) / ps.length });

/** SideLength stands on the side of a line that is away from the middle of the roof. */
function SideLength({ view, a, b, inner, text, live, soft }: {
  readonly view: View; readonly a: Point; readonly b: Point; readonly inner: Point; readonly text: string; readonly live?: boolean;
    readonly soft?: boolean }) {
  const p = onSheet(view, a), q = onSheet(view, b), m = onSheet(view, inner), long = Math.hypot(q.x - p.x, q.y - p.y);
  if (long < 20) return null;
  const mid = { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }, n = { x: (q.y - p.y) / long, y: -(q.x - p.x) / long };
  const away = n.x * (mid.x - m.x) + n.y * (mid.y - m.y) >= 0 ? 14 : -14, x = mid.x + n.x * away, y = mid.y + n.y * away;
  return <text class={live ? "dimension live" : soft ? "edge-name" : "dimension"} x={x} y={y} text-anchor="middle"
    dominant-baseline="central"
    transform={`rotate(${upright({ x: q.x - p.x, y: q.y - p.y })} ${x} ${y})`}>{text}</text>;
}
