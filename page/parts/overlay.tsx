// A drawing of the engine laid over the roof, in the sheet's metres (y up). A piece that is hit is picked by its id.

import { useEffect, useRef } from "preact/hooks";
import type { Session } from "../session/session";
import { picked, pickedPiece } from "./layers";
import { placeIn } from "./settings";
import { svgOf } from "./picture";
import { find } from "../model/find";
import { pointOf } from "../model/geometry";
import { wordsAt } from "../sheet/room";
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
      <g ref={at} fill="none" stroke-linecap="round" stroke-linejoin="round"
        transform={`matrix(${k} 0 0 ${-k} ${-v.at_x * k} ${v.at_y * k})`} onClick={hit} />
      {pickedPiece.value?.shapes.map((s, i) => <polygon key={i} class="picked" points={s.map((p) => `${p[0]},${p[1]}`).join(" ")} />)}
    </g>
  );
}

/** spotOf is where on the roof a worry is shown. */
function spotOf(session: Session, w: Worry, scale: number): { readonly x: number; readonly y: number; readonly whole?: true } | null {
  const doc = session.doc.value, id = placeIn(session, w);
  const f = id === null ? null : find(doc, id);
  if (!f) return null;
  if (f.what === "corner") {
    const ring = f.deck.corners, i = ring.findIndex((c) => c.id === f.corner.id), next = ring[(i + 1) % ring.length]!;
    return { x: (f.corner.x + next.x) / 2, y: (f.corner.y + next.y) / 2 };
  }
  if (f.what === "piece") return pointOf(f.piece.fields["at"]) ?? pointOf(f.piece.fields["centre"]) ?? pointOf(f.piece.fields["from"]);
  return { ...wordsAt(f.deck, scale).at, whole: true };
}

/** Balloon stands for all worries of one place: the worst of them by number and shape, and how many more. */
interface Balloon {
  readonly x: number;
  readonly y: number;
  readonly first: number;
  readonly grade: string;
  readonly more: number;
}

/**
 * balloonsOf are the worries at their places, one balloon a place; a balloon that would lie on another goes beside it. Reach is a balloon's
 * half width, m.
 */
function balloonsOf(session: Session, worries: readonly Worry[], reach: number): readonly Balloon[] {
  const out: Balloon[] = [], places: string[] = [];
  worries.forEach((w, i) => {
    const p = w.grade === "note" ? null : spotOf(session, w, 11 / reach);
    if (!p) return;
    const key = `${p.x.toFixed(2)} ${p.y.toFixed(2)}`, same = places.indexOf(key);
    if (same >= 0) {
      out[same] = { ...out[same]!, more: out[same]!.more + 1 };
      return;
    }
    // Under the words of the deck's area, which stand where there is most room.
    let { x, y } = p.whole ? { x: p.x, y: p.y - 3.4 * reach } : p;
    for (let k = 0; k < worries.length && out.some((b) => Math.hypot(b.x - x, b.y - y) < 2.6 * reach); k++) x += 2.8 * reach;
    places.push(key);
    out.push({ x, y, first: i + 1, grade: w.grade, more: 0 });
  });
  return out;
}

/** Balloons are the worries at their places: number and shape are those of the margin. */
export function Balloons({ session, unit }: { session: Session; unit: number }) {
  const a = session.answer.value, r = unit * 11;
  if (!a) return null;
  return (
    <g class={session.fresh.value ? "balloons" : "balloons stale"}>
      {balloonsOf(session, a.worries, r).map((b) =>
        <g key={b.first} class={`balloon ${b.grade}`} transform={`translate(${b.x} ${b.y}) scale(1 -1)`}>
          {b.grade === "stop" ? <rect x={-r} y={-r} width={2 * r} height={2 * r} /> : <path
            d={`M0,${-1.25 * r}L${1.2 * r},${0.85 * r}H${-1.2 * r}Z`} />}
          <text y={r * 0.45} font-size={1.15 * r} text-anchor="middle">{b.first}</text>
          {b.more > 0 && <text x={1.3 * r} y={r * 0.6} font-size={1.05 * r}>+{b.more}</text>}
        </g>)}
    </g>
  );
}
