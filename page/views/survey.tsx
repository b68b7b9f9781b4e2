// The survey's margin: the roof as a list, and the tape.

import type { Session } from "../session/session";
import { margin as words } from "../words/margin";

/** SurveyView is what is known of the roof, and what is missing for a plan. */
export function SurveyView({ session }: { session: Session }) {
  const faults = session.faults().filter((f) => !f.warning);
  return (
    <section aria-label={words.views.survey}>
      {faults.length > 0 && <><h2>{words.missing}</h2>
        <ul class="states">{faults.map((f, i) => <li key={i}><b class="ask">{f.where}</b> {f.message}. <small>{f.remedy}</small></li>)}</ul></>}
    </section>
  );
}
