// Where the pieces go: the layers that can lie on the roof, and what is known of the piece that is tapped.

import { signal, useSignalEffect } from "@preact/signals";
import type { Session } from "../session/session";
import { margin as words } from "../words/spoken";
import type { Piece } from "../worker/answers";
import { Unfolded } from "./unfolded";

/** picked is the piece that was tapped on the drawing, by its number. */
export const picked = signal<{ readonly deck: number; readonly number: string } | null>(null);
export const pickedPiece = signal<Piece | null>(null);

/** Layers lets one drawing of the plan lie on the roof. */
export function Layers({ session, only }: { session: Session; only?: (id: string) => boolean }) {
  const a = session.answer.value;
  if (!a) return null;
  const several = new Set(a.views.map((v) => v.deck)).size > 1;
  return (
    <label class="layers">{words.layers}
      <select value={session.layer.value ?? ""} onChange={(e) => { session.layer.value = e.currentTarget.value; picked.value = null;
        session.draw(); }}>
        {a.views.filter((v) => !only || only(v.id)).map((v) => <option key={v.id} value={v.id}>{several ? `${v.name}, ${v.deck}` : v.name}
          </option>)}
      </select>
    </label>
  );
}

/** PieceFacts is what is known of the picked piece. */
export function PieceFacts({ session }: { session: Session }) {
  useSignalEffect(() => {
    const p = picked.value, of = session.answer.value;
    pickedPiece.value = null;
    if (!p || !of) return;
    session.ask("piece", p).then((x) => { if (picked.value === p && session.answer.value === of) pickedPiece.value = x; }, () => {});
  });
  const x = pickedPiece.value;
  if (!x) return <p class="small">{words.nothingChosen}</p>;
  return (
    <section aria-label={x.title} aria-live="polite">
      <h2>{x.title}</h2>
      <dl class="facts">{x.facts.map((f, i) => <div key={i}><dt>{f.name}</dt><dd>{f.value}</dd></div>)}</dl>
      {x.neighbours.length > 0 && <p class="small">{words.neighbours} {x.neighbours.map((n) =>
        <button key={n} type="button" class="link" onClick={() => { picked.value = { deck: picked.value?.deck ?? 0, number: n }; }}>{n}
          </button>)}</p>}
      {x.figure && session.fresh.value && <Unfolded session={session} name={x.figure} />}
    </section>
  );
}
