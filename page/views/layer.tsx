// A drawing of the engine laid over the roof, in the sheet's metres (y up). A piece that is hit is picked by its id.

import { useEffect, useRef } from "preact/hooks";
import type { Session } from "../session/session";
import { picked, pickedPiece } from "./setout";
import { placeIn } from "./settle";
import { svgOf } from "./picture";
import { find } from "../model/find";
import { pointOf } from "../model/geometry";
import type { Worry } from "../worker/answers";

/** Layer is the drawing that lies on the roof; stale while the roof has changed since. */
export function Layer({ session }: { session: Session }) {
  const at = useRef<SVGGElement>(null);
  const v = session.drawn.value;
  useEffect(() => {
    const node = v ? svgOf(v.svg) : null;
    if (!at.current) return;
    at.current.replaceChildren(...(node ? [...node.children].filter((c) => c.nodeName !== "title" && c.nodeName !== "desc") : []));
  }, [v]);
  if (!v) return null;
  const k = 1 / v.per_m;
  // A joist or a number may lie over the piece that is meant: all that lies there is asked.
  const hit = (e: MouseEvent): void => {
    const piece = document.elementsFromPoint(e.clientX, e.clientY).map((n) => n.closest('[id^="piece-"]')?.id ?? "")
      .find((id) => id !== "" && !id.startsWith("piece-deck"));
    if (piece === undefined) return;
    picked.value = { deck: v.deck, number: piece.slice("piece-".length) };
    e.stopPropagation();
  };
  return (
    <g class={session.fresh.value ? "layer" : "layer stale"} data-own="">
      <g ref={at} fill="none" stroke-linecap="round" stroke-linejoin="round" transform={`matrix(${k} 0 0 ${-k} ${-v.at_x * k} ${v.at_y * k})`} onClick={hit} />
      {pickedPiece.value?.shapes.map((s, i) => <polygon key={i} class="picked" points={s.map((p) => `${p[0]},${p[1]}`).join(" ")} />)}
    </g>
  );
}

/** spotOf is where on the roof a worry is shown. */
function spotOf(session: Session, w: Worry): { readonly x: number; readonly y: number } | null {
  const doc = session.doc.value, id = placeIn(session, w);
  const f = id === null ? null : find(doc, id);
  if (!f) return null;
  if (f.what === "corner") {
    const ring = f.deck.corners, i = ring.findIndex((c) => c.id === f.corner.id), next = ring[(i + 1) % ring.length]!;
    return { x: (f.corner.x + next.x) / 2, y: (f.corner.y + next.y) / 2 };
  }
  if (f.what === "piece") return pointOf(f.piece.fields["at"]) ?? pointOf(f.piece.fields["centre"]) ?? pointOf(f.piece.fields["from"]);
  const n = f.deck.corners.length;
  return { x: f.deck.corners.reduce((sum, c) => sum + c.x, 0) / n, y: f.deck.corners.reduce((sum, c) => sum + c.y, 0) / n };
}

/** Balloons are the worries at their places: number and shape are those of the margin. */
export function Balloons({ session, unit }: { session: Session; unit: number }) {
  const a = session.answer.value;
  if (!a) return null;
  const there = new Map<string, number>();
  return (
    <g class={session.fresh.value ? "balloons" : "balloons stale"}>
      {a.worries.map((w, i) => {
        if (w.grade === "note") return null;
        const p = spotOf(session, w);
        if (!p) return null;
        const key = `${p.x.toFixed(2)} ${p.y.toFixed(2)}`, n = there.get(key) ?? 0;
        there.set(key, n + 1);
        const r = unit * 11, x = p.x + n * 2.4 * r, y = p.y;
        return (
          <g key={w.id} class={`balloon ${w.grade}`} transform={`translate(${x} ${y}) scale(1 -1)`}>
            {w.grade === "stop" ? <rect x={-r} y={-r} width={2 * r} height={2 * r} /> : <path d={`M0,${-1.25 * r}L${1.2 * r},${0.85 * r}H${-1.2 * r}Z`} />}
            <text y={r * 0.45} font-size={1.15 * r} text-anchor="middle">{i + 1}</text>
          </g>
        );
      })}
    </g>
  );
}
