// The large figures, and the working that unfolds from each.

import { useSignal } from "@preact/signals";
import type { Session } from "../session/session";
import { useSpeech, type Saying } from "../sheet/speech";
import { figure, margin as words } from "../words/spoken";
import { Unfolded } from "../parts/unfolded";

/** Figures are the five that a roofer wants first; those that are not true any more say so. */
export function Figures({ session }: { session: Session }) {
  const open = useSignal<string | null>(null), say = useSpeech();
  const a = session.answer.value, live = session.live.value?.ground ?? null, ground = live ?? session.ground.value;
  if (!a && !ground) return null;
  const groundIsNew = ground !== null && (live !== null || session.grounded.value === session.doc.value);
  const fresh = session.fresh.value;
  return (
    <section aria-label={words.figures} class={fresh ? "figures" : "figures stale"}>
      {!fresh && <p class="stale-word small" role="status">{session.step.value === null ? words.before : words.working(session.step.value)}
        </p>}
      {(a?.figures ?? []).map((f) => {
        const [now, unit] = f.key === "roof.net" ? areaOf(say, groundIsNew ? ground.net_m2 : Number(f.value)) : [figure(f.value), f.unit];
        return (
          <button key={f.key} type="button" aria-expanded={open.value === f.key} class="figure"
            onClick={() => { open.value = open.value === f.key ? null : f.key; }}>
            <b>{now}<span class="unit">{unit}</span></b><small>{f.words}</small>
          </button>
        );
      })}
      {!a && groundIsNew && <p class="figure"><b>{areaOf(say, ground.net_m2)[0]}<span class="unit">{areaOf(say, ground.net_m2)[1]}</span>
        </b><small>{words.netRoof}</small></p>}
      {open.value && fresh && <Unfolded session={session} name={open.value} />}
    </section>
  );
}

/** areaOf is an area in the units that are shown: the number, and its unit. */
function areaOf(say: Saying, m2: number): readonly [string, string] {
  const [n = "", ...unit] = say.area(m2).split(" ");
  return [n, unit.join(" ")];
}
