// The work behind the page that is about a job: ordered here, followed to its end, and what came of it taken.

import { useEffect, useState } from "preact/hooks";
import { office, type WorkRow } from "../session/office";
import { work as words } from "../words/spoken";

/** everyMS is how often it is asked how far the work is, ms; while none is under way nobody asks. */
const everyMS = 1000;

const told = (why: unknown): string => why instanceof Error ? why.message : String(why);

/** BehindThePage orders the papers of a job as one file, and tells of the work about it. */
export function BehindThePage({ job }: { job: string }) {
  const [list, show] = useState<readonly WorkRow[]>([]), [why, say] = useState(""), [asked, ask] = useState(0);
  useEffect(() => {
    let gone = false, later: ReturnType<typeof setTimeout> | undefined;
    office.workOf(job).then(({ work }) => {
      if (gone) return;
      show(work);
      if (work.some((w) => w.ended === undefined)) later = setTimeout(() => ask(asked + 1), everyMS);
    }, (x: unknown) => { if (!gone) say(told(x)); });
    return () => { gone = true; clearTimeout(later); };
  }, [job, asked]);
  const after = (act: Promise<unknown>): void => { void act.then(() => { say(""); ask(asked + 1); }, (x: unknown) => say(told(x))); };
  return (
    <section aria-label={words.head}>
      <h2>{words.head}</h2>
      <button type="button" class="act" onClick={() => after(office.orderPapers(job))}>{words.make}</button>
      {why && <p class="ask" role="alert">{why}</p>}
      <ul class="papers" aria-live="polite">{list.map((w) => <li key={w.id}>
        {w.title}: {words.state[w.state]}{w.ended === undefined && w.whole > 0 && `, ${words.parts(w.done, w.whole)}`}.{" "}
        <small>{w.said}</small>
        {w.result && <> <a href={w.result} download>{words.take}</a></>}
        {w.ended === undefined && <> <button type="button" class="link" aria-label={`${words.cancel}: ${w.title}`}
          onClick={() => after(office.cancelWork(w.id))}>{words.cancel}</button></>}
      </li>)}</ul>
    </section>
  );
}
