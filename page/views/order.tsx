// What to buy.

import { signal, useSignal } from "@preact/signals";
import type { Session } from "../session/session";
import { figure, margin as words } from "../words/spoken";
import type { Order } from "../worker/answers";
import { Unfolded } from "../parts/unfolded";

const got = signal<{ readonly of: unknown; readonly order: Order | null }>({ of: null, order: null });

/** OrderView is the order list; a quantity unfolds its working. */
export function OrderView({ session }: { session: Session }) {
  const open = useSignal<string | null>(null);
  const of = session.answer.value;
  if (of && got.value.of !== of) {
    got.value = { of, order: got.value.order };
    session.ask("order", {}).then((order) => { if (got.value.of === of) got.value = { of, order }; }, () => {});
  }
  const o = got.value.order;
  if (!o) return of ? <p class="small" role="status">{words.working("")}</p> : null;
  const kinds = [...new Set(o.lines.map((l) => l.kind))];
  return (
    <section aria-label={words.orderHead} class={session.fresh.value ? "" : "stale"}>
      <h2>{words.orderHead}</h2>
      {o.mass_kg > 0 && <p class="small">{words.toLoad(o.mass_kg)}</p>}
      {kinds.map((k) => (
        <table key={k} class="order"><caption>{k}</caption>
          <tbody>{o.lines.filter((l) => l.kind === k).map((l) => (
            <tr key={l.key}>
              <td>{l.description}{open.value === l.key && session.fresh.value && <Unfolded session={session} name={l.key} />}</td>
              <td class="number"><button type="button" class="link" aria-expanded={open.value === l.key}
                aria-label={`${figure(Number(l.gross.toFixed(2)))} ${l.unit}, ${words.why}: ${l.description}`}
                onClick={() => { open.value = open.value === l.key ? null : l.key; }}>{figure(Number(l.gross.toFixed(2)))} {l.unit}
                </button></td>
              <td><b>{l.packs.join(", ")}</b></td>
            </tr>))}</tbody>
        </table>))}
      {o.notes.map((n, i) => <p key={i} class="small">{n}</p>)}
    </section>
  );
}
