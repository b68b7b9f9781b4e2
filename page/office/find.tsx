// One question for everything that was typed; answers by kind, each with its place.

import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { office as words } from "../words/spoken";
import { server, type Found } from "./calls";
import { hashOf, refuse } from "./state";

const found = signal<readonly Found[] | null>(null);
let asking = 0;

async function ask(text: string): Promise<void> {
  const mine = ++asking;
  try {
    const list = text.trim() === "" ? null : await server.find(text);
    if (mine === asking) found.value = list;
  } catch (why) {
    refuse(why);
  }
}

/** FindView looks for words. */
export function FindView({ text }: { text: string }) {
  useEffect(() => { void ask(text); }, [text]);
  const w = words.find;
  return (
    <section aria-label={words.views.find} class="find">
      <label>{w.label} <input type="search" defaultValue={text} onInput={(e) => { void ask(e.currentTarget.value); }} /></label>
      <p role="status" class="small">{found.value?.length === 0 ? w.nothing : ""}</p>
      {found.value?.map((f) => <section key={f.in} aria-label={w.kinds[f.in] ?? f.in}>
        <h2>{w.kinds[f.in]} <small>{w.total(f.total, f.hits.length)}</small></h2>
        <ul class="hits">{f.hits.map((h, i) => <li key={i}>
          <a href={h.job === "" ? hashOf("names", h.id) : hashOf("job", h.job)}>{h.text}</a>
          <small>{[h.title, h.place].filter((x) => x !== "" && x !== h.text).join(" · ")}</small></li>)}</ul></section>)}
    </section>
  );
}
