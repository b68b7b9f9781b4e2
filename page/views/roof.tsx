// The roof itself on the page: the sheet of what is drawn, with the engine's drawing and the worries on it.

import { Sheet } from "../sheet/Sheet";
import { Tools } from "../sheet/Tools";
import type { Mode } from "../sheet/mode";
import { draft } from "../parts/drafts";
import { picked } from "../parts/layers";
import { Balloons, Layer } from "../parts/overlay";
import { reveal } from "../parts/reveal";
import { mode, underlay } from "../parts/underlay";
import type { Session } from "../session/session";

/** Roof is the drawing, and on the survey's sheet the tools to draw with. */
export function Roof({ session }: { session: Session }) {
  const view = session.view.value, survey = view === "survey";
  const blank = session.doc.value.decks.length === 0;
  const does: Mode = !survey ? { does: "edit" } : blank && mode.value.does === "edit" && draft.value === null ? { does: "draw" }
    : mode.value;
  const shown = survey && draft.value ? draft.value : session.shown.value;
  const laid = view === "set-out" || view === "day";
  const over = laid ? <Layer session={session} />
    : (v: { readonly scale: number; readonly x0: number; readonly y0: number }) =>
      session.chosen.value?.endsWith("@fall") ? null : <g transform={`matrix(${v.scale} 0 0 ${-v.scale} ${v.x0} ${v.y0})`}><Balloons
        session={session} unit={1 / v.scale} /></g>;
  return (
    <div class={laid ? "roof laid" : "roof"}>
      {survey && <Tools mode={does} onMode={(m) => { mode.value = m; }} decks={!blank} picture={underlay.value !== null} />}
      <div class="roof-sheet">
        <Sheet doc={session.doc.value} shown={shown} chosen={session.chosen.value} mode={does} still={laid} heights={session.heights.value}
          onLive={(d) => session.drag(d)}
          onMode={(m) => { mode.value = m; }} onAct={(act) => {
            session.act(act);
            if (blank) mode.value = { does: "edit" };
            if (act.label === "addPiece") reveal();
          }} underlay={survey ? underlay.value : null}
          onUnderlay={(u) => { underlay.value = u; }} layers={{ over }}
          onChoose={(id) => { session.settle(); session.chosen.value = id; picked.value = null; if (id !== null) reveal(); }} />
      </div>
    </div>
  );
}
