// The papers of a one-file job.

import type { Session } from "../session/session";
import { openText, type Alone } from "../session/alone";
import { roofText } from "../model/roofjson";
import { margin as words } from "../words/spoken";

/** PapersAlone lists the papers inside the file; a changed roof is taken away as a roof file. */
export function PapersAlone({ session, alone }: { session: Session; alone: Alone }) {
  const write = async (): Promise<void> => {
    const w = await session.ask("write", { name: "roof.yaml", text: roofText(session.doc.value) });
    openText(w.text, "text/yaml", "roof.yaml");
  };
  return (
    <section aria-label={words.papersHead}>
      <h2>{words.papersHead}</h2>
      <p class="small">{words.papersInside}</p>
      <ul class="papers">{alone.papers.map((p) => <li key={p.name}><button type="button" class="link" onClick={() => openText(p.html,
        "text/html")}>{p.title}</button></li>)}</ul>
      <h2>{words.download}</h2>
      <button type="button" class="act" onClick={() => void write()}>{words.roofFile}</button>
    </section>
  );
}
