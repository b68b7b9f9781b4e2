// What worries the roof: each worry with its place, why, and what would settle it.

import { useSignal } from "@preact/signals";
import { StillOpen, waitOf } from "../parts/open";
import { placeIn, read, setField } from "../parts/settings";
import { Unfolded } from "../parts/unfolded";
import type { Session } from "../session/session";
import { margin as words } from "../words/spoken";
import type { Act, Worry } from "../worker/answers";

/** Mark is the shape of a grade: square stop, triangle question, circle note. */
export function Mark({ grade, n }: { grade: string; n: number }) {
  return <span class={`mark ${grade}`} aria-hidden="true"><span>{n}</span></span>;
}

/** Settle lists the worries, the worst first; before them, on the sheet of its own, what is missing for a plan. */
export function Settle({ session, few }: { session: Session; few?: boolean }) {
  if (few) return <Worries session={session} few />;
  const wait = waitOf(session), missing = wait === "outline" || wait === "answers", a = session.answer.value;
  return <>
    {missing && <StillOpen session={session} />}
    {missing && a && <p class="small" role="status">{words.before}</p>}
    {wait === "engine" && !a && <p class="small" role="status">{words.working(session.step.value ?? "")}</p>}
    <Worries session={session} />
  </>;
}

function Worries({ session, few }: { session: Session; few?: boolean }) {
  const a = session.answer.value;
  if (!a) return null;
  const list = few ? a.worries.filter((w) => w.grade !== "note").slice(0, 6) : a.worries;
  return (
    <section aria-label={words.settle}>
      <h2>{words.settle}</h2>
      {a.worries.length === 0 && <p>{words.settled}</p>}
      <ol class="worries">{list.map((w) => <One key={w.id} session={session} w={w} n={a.worries.indexOf(w) + 1} />)}</ol>
      <p class="small">{words.passed(a.passed)} · {words.taken(a.taken)}</p>
      {few && a.worries.length > list.length &&
        <button type="button" class="act" onClick={() => session.show("settle")}>{words.views.settle}: {a.worries.length}</button>}
    </section>
  );
}

function One({ session, w, n }: { session: Session; w: Worry; n: number }) {
  const open = useSignal(false);
  const id = placeIn(session, w);
  return (
    <li class="worry">
      <Mark grade={w.grade} n={n} />
      <div>
        <p><b class={w.grade}><span class="sr">{n}, {words.grades[w.grade as keyof typeof words.grades]}: </span>{w.title}</b> {w.text}</p>
        {w.where && <p class="small">{words.where} {w.where}</p>}
        {w.advice.map((t, i) => <p key={i} class="small">{t}</p>)}
        {w.call_for && <p class="small">{words.callFor} {w.call_for}</p>}
        <div class="acts">
          {w.acts.map((x: Act) =>
            <button key={x.text} type="button" class="act" onClick={() => setField(session, x.field, read(x.value))}>{x.text}</button>)}
          {id !== null && <button type="button" class="act quiet" aria-label={`${words.show}: ${w.where}`}
            onClick={() => { session.chosen.value = id; }}>{words.show}</button>}
          {w.figures.length > 0 &&
            <button type="button" class="act quiet" aria-expanded={open.value} aria-label={`${words.why}: ${w.title}`}
              onClick={() => { open.value = !open.value; }}>{words.why}</button>}
        </div>
        {open.value && <>
          <p class="small">{w.clause} ({w.standing})</p>
          {w.flags.map((f, i) => <p key={i} class="small">{words.on}: {f}</p>)}
          {session.fresh.value && <Unfolded session={session} name={w.figures[0]!} />}
        </>}
      </div>
    </li>
  );
}
