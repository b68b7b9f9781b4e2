// The survey's margin: the roof as a list that can be edited, the tape, and what is missing for a plan.

import { useSignal } from "@preact/signals";
import { attempt, setJob } from "../model/commands";
import type { Deck, Id, Json } from "../model/doc";
import { deckName } from "../model/find";
import { isFields, isList, numberAt, textAt } from "../model/json";
import { isTaped } from "../model/outline";
import type { Session } from "../session/session";
import { EdgeList } from "../sheet/EdgeList";
import { Tape } from "../sheet/Tape";
import type { Judgement } from "../sheet/taping";
import { margin as words } from "../words/spoken";
import type { SurveyAsk, Surveyed } from "../worker/answers";
import { Refused } from "../worker/bridge";
import { Asking, questionsOf } from "../parts/asking";
import { draft, taping } from "../parts/drafts";
import { Faults, faultsOf } from "../parts/open";
import { give } from "../parts/underlay";

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
      <Asking session={session} />
      <JobHead session={session} />
      <div class="acts">
        <button type="button" class="act" onClick={() => { taping.value = ""; }}>{words.tape}</button>
        <label class="act quiet">{words.photo}<input type="file" accept="image/*" class="sr"
          onChange={(e) => { const f = e.currentTarget.files?.[0]; if (f) give(f); }} /></label>
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
  return <div class="pair"><label>{words.jobName}<input type="text" {...given("name")} /></label><label>{words.date}<input
    type="date" {...given("date")} /></label></div>;
}

/** Missing says what the engine still asks for, each a way to its place. */
function Missing({ session }: { session: Session }) {
  const doc = session.doc.value, trouble = session.trouble.value;
  if (!trouble || doc.decks.length === 0) return null;
  // What is asked for above is not told a second time.
  const faults = faultsOf(session);
  if (faults.length === 0 && questionsOf(doc).length > 0) return null;
  return (
    <section aria-label={words.missing} class="missing">
      <h2>{words.missing}</h2>
      {faults.length === 0 && <p class="stop">{trouble.message}</p>}
      <ul class="states"><Faults session={session} faults={faults} text={words.show} go={(id) => { session.chosen.value = id; }} /></ul>
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
  return s.doubt ? `${closes} ${upper(s.doubt)}; ${s.doubt_remedy}.` : closes;
}

/** briefOf is the verdict in the few words that stand on the tape's sketch. */
function briefOf(s: Surveyed): string {
  const next = s.wanted[0], blunder = s.blunder?.readings.filter((r) => !r.angle) ?? [];
  if (s.trouble) return s.blunder?.explains && blunder.length === 1 ? words.likeliest(blunder[0]!.from, blunder[0]!.to) : words.noClose;
  return next ? words.measure(next.from, next.to) : words.allChecked;
}

/** judgedOf is the verdict as the tape shows it: whole where there is trouble, else in one sentence. */
function judgedOf(s: Surveyed): Judgement {
  const b = s.blunder, lines = b?.readings.filter((r) => !r.angle) ?? [], next = s.wanted[0];
  const sure = b !== null && b.explains && lines.length === b.readings.length && lines.length > 0;
  return {
    brief: briefOf(s), closes: s.trouble === "", whole: s.trouble ? `${upper(s.trouble)}${lines.length > 0 ? "" : `. ${s.trouble_remedy}`}.`
      : words.closes(s.worst_error_mm),
    blunder: lines.length > 0 ? { lines, instead: sure ? Math.round(b.instead * 1000) / 1000 : null } : null,
    next: next ? { from: next.from, to: next.to } : null,
  };
}

const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function Taping({ session, deck }: { session: Session; deck: Id | "" }) {
  const judged = useSignal<Judgement | null>(null);
  const judge = (ask: SurveyAsk | null): void => {
    if (!ask) {
      judged.value = null;
      return;
    }
    session.ask("survey", ask).then((s) => { judged.value = judgedOf(s); },
      (why: unknown) => {
        if (why instanceof Refused && why.refusal.kind === "stopped") return;
        judged.value = { brief: "", whole: why instanceof Error ? why.message : "", closes: false, blunder: null, next: null };
      });
  };
  return <Tape doc={session.doc.value} onAct={(a) => session.act(a)} judged={judged.value} {...(deck === "" ? {} : { deck })}
    onDraft={(d) => { draft.value = d; }} onAsk={judge} onDone={() => { taping.value = draft.value = null; }} />;
}
