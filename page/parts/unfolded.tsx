// The working of a figure, unfolded in place down to what was written.

import { useSignal } from "@preact/signals";
import type { Session } from "../session/session";
import { margin as words } from "../words/spoken";
import type { Working } from "../worker/answers";

/** Unfolded is the working of a figure, asked for when it is opened. */
export function Unfolded({ session, name }: { session: Session; name: string }) {
  const got = useSignal<{ readonly name: string; readonly of: unknown; readonly working: Working | null } | null>(null);
  const of = session.answer.value;
  if (got.value?.name !== name || got.value.of !== of) {
    got.value = { name, of, working: null };
    session.ask("figure", { name }).then((w) => { if (got.value?.name === name && got.value.of === of) got.value = { name, of, working: w };
      }, () => {});
  }
  const w = got.value?.working;
  return w ? <div class="working" role="group" aria-label={words.why}><Node w={w} open /></div> : null;
}

function Node({ w, open }: { w: Working; open?: boolean }) {
  const head = <><span class="wname">{w.name}</span> <b>{w.value}</b></>;
  const body = (
    <div class="wbody">
      {w.formula && <p class="formula">{w.formula}</p>}
      {w.by && <p class="small">{w.by}</p>}
      {w.source && <p class="small">{w.field ? words.written : words.source}: {w.source} ({w.standing})</p>}
      {w.note && <p class="small">{w.note}</p>}
      {w.inputs.map((x, i) => <Node key={i} w={x} />)}
    </div>
  );
  return <details class="wnode" open={open ?? false}><summary>{head}</summary>{body}</details>;
}
