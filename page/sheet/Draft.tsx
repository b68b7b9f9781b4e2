// An outline being drawn, or the points that a mode waits for.

import { distance, type Point } from "../model/geometry";
import { pathOf, upright } from "./shape";
import { useSpeech } from "./speech";
import { onSheet, type View } from "./view";

export function Draft({ view, taps, pointer, closes }: { readonly view: View; readonly taps: readonly Point[]; readonly pointer: Point
  | null; readonly closes: boolean }) {
  const all = pointer && taps.length > 0 && distance(taps.at(-1)!, pointer) > 1e-9 ? [...taps, pointer] : taps, first = taps[0];
  return <g aria-hidden="true" class="draft">
    {closes && all.length > 2 && first && <path class="draft-close" d={pathOf(view, [all.at(-1)!, first], false)} />}
    <path class="draft-line" d={pathOf(view, taps, false)} />
    {all.length > taps.length && <path class="draft-rubber" d={pathOf(view, all.slice(-2), false)} />}
    {all.slice(1).map((p, i) => <Length key={i} view={view} a={all[i]!} b={p} live={i === taps.length - 1} />)}
    {taps.map((p, i) => <circle key={i} class={i === 0 && closes && taps.length >= 3 ? "knob chosen" : "knob"} cx={onSheet(view, p).x}
      cy={onSheet(view, p).y} r={i === 0 && closes ? 9 : 6} />)}
    {pointer && <path class="cross"
      transform={`translate(${onSheet(view, pointer).x} ${onSheet(view, pointer).y})`} d="M-9,0h18M0,-9v18" />}
  </g>;
}

function Length({ view, a, b, live }: { readonly view: View; readonly a: Point; readonly b: Point; readonly live: boolean }) {
  const say = useSpeech(), p = onSheet(view, a), q = onSheet(view, b), long = Math.hypot(q.x - p.x, q.y - p.y);
  if (long < 28) return null;
  const side = { x: (q.y - p.y) / long, y: -(q.x - p.x) / long }, mid = { x: (p.x + q.x) / 2 - side.x * 14,
    y: (p.y + q.y) / 2 - side.y * 14 };
  return <text class={live ? "dimension live" : "dimension"} x={mid.x} y={mid.y} text-anchor="middle" dominant-baseline="central"
    transform={`rotate(${upright({ x: q.x - p.x, y: q.y - p.y })} ${mid.x} ${mid.y})`}>{say.length(distance(a, b))}</text>;
}
