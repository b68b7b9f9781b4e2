// Papers, files, history and alternatives of the job.

import { signal } from "@preact/signals";
import { office, type StateRow } from "../session/office";
import type { Session } from "../session/session";
import { Alternatives } from "../parts/alternatives";
import { StillOpen, waitOf } from "../parts/open";
import { BehindThePage } from "../parts/work";
import { sayAct } from "../sheet/speech";
import { language, margin as words, words as drawn } from "../words/spoken";

const papers = signal<{ readonly of: unknown; readonly list: readonly { readonly name: string; readonly title?: string }[];
  readonly why: string }>({ of: null, list: [], why: "" });
const states = signal<{ readonly of: unknown; readonly list: readonly StateRow[] }>({ of: null, list: [] });

/** named is what a paper is called: the books by their words, others by their title. */
function named(p: { readonly name: string; readonly title?: string }): string {
  const [stem, kind] = p.name.split("."), books: { readonly [stem: string]: string } = words.books;
  return p.title ?? (books[stem ?? ""] && kind ? words.bookAs(books[stem!]!, kind) : p.name);
}

/** said is what was done, in words: an act by its name in the catalogue, undone or done again. */
function said(what: string): string {
  const [, back, label] = /^(undo |redo )?(.*)$/.exec(what) ?? [];
  return back === "undo " ? words.undone(sayAct(drawn, label ?? "")) : back === "redo " ? words.redone(sayAct(drawn, label ?? ""))
    : sayAct(drawn, what);
}

/** PapersView lists what can be taken away from the page. */
export function PapersView({ session, job, reopen }: { session: Session; job: string | null; reopen: (id: string, name?: string) =>
  void }) {
  const of = session.kept.value, wait = waitOf(session);
  if (job && of.state === "kept" && states.value.of !== of) {
    states.value = { ...states.value, of };
    office.states(job).then((s) => { if (states.value.of === of) states.value = { of, list: s.states }; }, () => {});
  }
  // Of a roof without a plan no papers are asked for.
  if (job && of.state === "kept" && wait === null && papers.value.of !== of) {
    papers.value = { ...papers.value, of };
    office.papers(job).then((p) => { if (papers.value.of === of) papers.value = { of, list: p.papers, why: "" }; },
      (why: unknown) => { if (papers.value.of === of) papers.value = { of, list: [], why: String(why instanceof Error ? why.message
        : why) }; });
  }
  if (!job) return <p>{words.papersWait}</p>;
  const list = wait === null ? papers.value.list : [], why = wait === null ? papers.value.why : "";
  const books = list.filter((p) => /^(site|office|workings)\.(pdf|html)$/.test(p.name) || p.name.endsWith(".zip"));
  const rest = list.filter((p) => !books.includes(p));
  return (
    <section aria-label={words.papersHead}>
      <h2>{words.papersHead}</h2>
      {(wait === "outline" || wait === "answers") && <StillOpen session={session} />}
      {why && <p class="ask">{why}</p>}
      {list.length === 0 && !why && <p class="small">{words.papersWait}</p>}
      <ul class="papers">{books.map((p) => <li key={p.name}><a href={office.paper(job, p.name)} target="_blank" rel="noopener">{named(p)}
        </a> <small>{p.name}</small></li>)}</ul>
      {rest.length > 0 && <details class="group"><summary>{words.more} ({rest.length})</summary>
        <ul class="papers">{rest.map((p) => <li key={p.name}><a href={office.paper(job, p.name)} target="_blank" rel="noopener">{p.title
          ?? p.name}</a></li>)}</ul></details>}
      <h2>{words.download}</h2>
      <ul class="papers">
        <li><a href={office.roofFile(job)} download="roof.yaml">{words.roofFile}</a></li>
        <li><a href={office.exported(job)} download>{words.jobFile}</a></li>
        <li><a href={office.oneFile(job)} download>{words.onefile}</a></li>
      </ul>
      {wait === null && <BehindThePage job={job} />}
      <h2>{words.history}</h2>
      <ol class="states">{states.value.list.map((s) => <li key={s.seq}>
        <span>{new Date(s.when).toLocaleString(language === "en" ? undefined : language)}
        </span> {said(s.what)} <small>{s.who}</small>{" "}
        <button type="button" class="link" aria-label={`${words.restore}: ${s.seq}, ${said(s.what)}`}
          onClick={() => { void office.restore(job, s.seq, "this computer").then(() => reopen(job)); }}>{words.restore}</button></li>)}</ol>
      <button type="button" class="act" onClick={() => {
        const name = `${String(session.doc.value.fields["name"] ?? "")} (2)`;
        void office.copy(job, name, true).then((c) => reopen(c.id, name));
      }}>{words.alternative}</button>
      <Alternatives job={job} of={of} />
    </section>
  );
}
