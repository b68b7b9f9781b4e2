// The survey's margin: the roof as a list that can be edited, the tape, and what is missing for a plan.

import { useSignal, useSignalEffect } from "@preact/signals";
import { attempt, setJob } from "../model/commands";
import type { Deck, Id, Json } from "../model/doc";
import { deckName } from "../model/find";
import { isFields, isList, numberAt, textAt } from "../model/json";
import { isTaped } from "../model/outline";
import { placeOf } from "../model/place";
import type { Session } from "../session/session";
import { EdgeList } from "../sheet/EdgeList";
import { Tape } from "../sheet/Tape";
import { margin as words } from "../words/margin";
import type { SurveyAsk, Surveyed } from "../worker/answers";
import { draft, taping } from "./drafts";
import { give } from "./roof";

/** askOf is the question whether a deck's survey closes; null where something but lengths was measured. */
function askOf(deck: Deck): SurveyAsk | null {
  const survey = deck.fields["survey"];
  if (!isFields(survey)) return null;
  const walk = textAt(survey, ["walk"]) ?? "", lengths: string[] = [];
  const measured: Json = survey["measured"] ?? [];
  if (isList(measured)) {
    for (const m of measured) {
      const from = textAt(m, ["from"]), to = textAt(m, ["to"]), length = numberAt(m, ["length_m"]);
      if (from === undefined || to === undefined || length === undefined) return null;
      lengths.push(`${from}-${to}=${length}`);
    }
  }
  return { walk, lengths };
}

/** SurveyView is what is known of the roof, and what is missing for a plan. */
export function SurveyView({ session }: { session: Session }) {
  const doc = session.doc.value;
  if (taping.value !== null) return <Taping session={session} deck={taping.value} />;
  return (
    <section aria-label={words.views.survey}>
      <JobHead session={session} />
      <div class="acts">
        <button type="button" class="act" onClick={() => { taping.value = ""; }}>{words.tape}</button>
        <label class="act quiet">{words.photo}<input type="file" accept="image/*" class="sr" onChange={(e) => { const f = e.currentTarget.files?.[0]; if (f) give(f); }} /></label>
      </div>
      <Missing session={session} />
      {doc.decks.filter(isTaped).map((d) => <Closing key={d.id} session={session} deck={d} />)}
      <h2>{words.list}</h2>
      <EdgeList doc={doc} chosen={session.chosen.value} onAct={(a) => session.act(a)}
        onChoose={(id) => { session.settle(); session.chosen.value = id; }} onTape={(id) => { taping.value = id; }} />
    </section>
  );
}

function JobHead({ session }: { session: Session }) {
  const fields = session.doc.value.fields;
  const given = (name: "name" | "date") => ({
    value: String(fields[name] ?? ""), onBlur: () => session.settle(),
    onChange: (e: { readonly currentTarget: HTMLInputElement }) => {
      session.made(attempt(session.doc.value, setJob, { path: [name], value: e.currentTarget.value }, `job ${name}`));
    },
  });
  return <div class="pair"><label>{words.jobName}<input type="text" {...given("name")} /></label><label>{words.date}<input type="date" {...given("date")} /></label></div>;
}

/** Missing says what the engine still asks for, each a way to its place. */
function Missing({ session }: { session: Session }) {
  const doc = session.doc.value, trouble = session.trouble.value;
  if (!trouble || doc.decks.length === 0) return null;
  const faults = trouble.faults.filter((f) => !f.warning);
  return (
    <section aria-label={words.missing} class="missing">
      <h2>{words.missing}</h2>
      {faults.length === 0 && <p class="stop">{trouble.message}</p>}
      <ul class="states">{faults.map((f, i) => {
        const id = placeOf(doc, f.path) ?? placeOf(doc, f.where);
        return <li key={i}><b class="ask">{f.where}</b> {f.message}. <small>{f.remedy}</small>{" "}
          {id !== null && <button type="button" class="link" aria-label={`${words.show}: ${f.where}`} onClick={() => { session.chosen.value = id; }}>{words.show}</button>}</li>;
      })}</ul>
    </section>
  );
}

/** Closing says how well a taped deck closes. */
function Closing({ session, deck }: { session: Session; deck: Deck }) {
  const said = useVerdict(session, deck);
  if (!said) return null;
  return <p class={said.trouble ? "stop" : "small"}><b>{deckName(session.doc.value, deck)}</b>: {verdictOf(said)}</p>;
}

function useVerdict(session: Session, deck: Deck): Surveyed | null {
  const got = useSignal<{ readonly key: string; readonly said: Surveyed | null }>({ key: "", said: null });
  const ask = askOf(deck), key = JSON.stringify(ask);
  if (ask && got.value.key !== key) {
    got.value = { key, said: null };
    session.ask("survey", ask).then((said) => { if (got.value.key === key) got.value = { key, said }; }, () => {});
  }
  return got.value.said;
}

function verdictOf(s: Surveyed): string {
  if (s.trouble) return `${s.trouble}. ${s.trouble_remedy}`;
  const closes = words.closes(s.worst_error_mm);
  return s.doubt ? `${closes} ${s.doubt}; ${s.doubt_remedy}.` : closes;
}

/** briefOf is the verdict in the few words that stand on the tape's sketch. */
function briefOf(s: Surveyed): string {
  const next = s.wanted[0];
  if (s.trouble) return words.noClose;
  return next ? words.measure(next.from, next.to) : words.closes(s.worst_error_mm);
}

function Taping({ session, deck }: { session: Session; deck: Id | "" }) {
  const verdict = useSignal<{ readonly brief: string; readonly whole: string }>({ brief: "", whole: "" });
  useSignalEffect(() => {
    const d = draft.value?.decks.at(-1);
    const ask = d ? askOf(d) : null;
    if (!ask) {
      verdict.value = { brief: "", whole: "" };
      return;
    }
    session.ask("survey", ask).then((s) => { verdict.value = { brief: briefOf(s), whole: verdictOf(s) }; },
      (why: unknown) => { verdict.value = { brief: "", whole: why instanceof Error ? why.message : "" }; });
  });
  return (
    <div>
      <Tape doc={session.doc.value} onAct={(a) => session.act(a)} verdict={verdict.value.brief} {...(deck === "" ? {} : { deck })}
        onDraft={(d) => { draft.value = d; }} onDone={() => { taping.value = draft.value = null; }} />
      <p role="status">{verdict.value.whole}</p>
    </div>
  );
}
