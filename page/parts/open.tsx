// What a roof still needs before it has a plan: open questions and faults, each with a way to the place where it is answered.

import type { Id } from "../model/doc";
import { placeOf as placeNamed } from "../model/place";
import type { Session } from "../session/session";
import { useSpeech } from "../sheet/speech";
import { margin as words } from "../words/spoken";
import type { Fault } from "../worker/answers";
import { headOf, placeOf, questionsOf } from "./asking";
import { reveal } from "./reveal";

/** Wait is what a plan waits for: an outline, answers of a person, or the engine; null where the plan of what is drawn is there. */
export type Wait = "outline" | "answers" | "engine" | null;

/** waitOf tells what the plan of what is drawn waits for; where no engine runs nothing is waited for. */
export function waitOf(session: Session): Wait {
  const doc = session.doc.value;
  if (doc.decks.length === 0) return "outline";
  if (session.trouble.value !== null || questionsOf(doc).length > 0) return "answers";
  return session.fresh.value || session.broken.value !== null ? null : "engine";
}

/** faultsOf are what the engine refuses, without what the page asks in words of its own. */
export function faultsOf(session: Session): readonly Fault[] {
  return session.faults().filter((f) => !f.warning && !/"ask" is not known|where the water runs/.test(f.message));
}

/** answerAt turns to the place where something of the roof is said. */
function answerAt(session: Session, id: Id | null): void {
  session.show("survey");
  session.chosen.value = id;
  reveal();
}

/** Faults are the lines of faults, each with a button to its place. */
export function Faults({ session, faults, text, go }: { session: Session; faults: readonly Fault[]; text: string; go: (id: Id) => void }) {
  const doc = session.doc.value;
  return <>{faults.map((f, i) => {
    const id = placeNamed(doc, f.path) ?? placeNamed(doc, f.where);
    return <li key={i}><b class="ask">{f.where}</b> {f.message}. <small>{f.remedy}</small>{" "}
      {id !== null && <button type="button" class="link" aria-label={`${text}: ${f.where}`} onClick={() => go(id)}>{text}</button>}</li>;
  })}</>;
}

/** StillOpen lists on the other sheets what is missing for a plan. */
export function StillOpen({ session }: { session: Session }) {
  const say = useSpeech(), doc = session.doc.value, questions = questionsOf(doc), faults = faultsOf(session), go = (id: Id | null): void =>
    answerAt(session, id);
  const bare = questions.length === 0 && faults.length === 0;
  return (
    <section aria-label={words.missing} class="missing">
      <h2>{words.missing}</h2>
      {doc.decks.length === 0 ? <p>{words.noOutline} <button type="button" class="link" onClick={() => go(null)}>{words.drawIt}</button></p>
        : bare && <p class="stop">{session.trouble.value?.message}</p>}
      {!bare && <ul class="states">
        {questions.map((q) => {
          const head = headOf(say, doc, q);
          return <li key={placeOf(q)}>{head}{" "}<button type="button" class="link" aria-label={`${words.answer}: ${head}`}
            onClick={() => go(placeOf(q))}>{words.answer}</button></li>;
        })}
        <Faults session={session} faults={faults} text={words.answer} go={go} />
      </ul>}
    </section>
  );
}
