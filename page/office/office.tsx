// The office: the firm's job book and its calendar. A bundle of its own without the engine: what a phone needs to see who stands
// where is a fraction of what it needs to plan a roof.

import { effect, signal } from "@preact/signals";
import { render } from "preact";
import { useEffect } from "preact/hooks";
import { language, office as words } from "../words/spoken";
import { CalendarView } from "./calendar";
import { ChartView } from "./chart";
import { ClashView } from "./clash";
import { FindView } from "./find";
import { JobView } from "./job";
import { NamesView } from "./names";
import { done, hashOf, notice, place, placeOf, refuse, undo, weekOf } from "./state";

document.documentElement.lang = language;

type Light = "light" | "dark" | "bright";
const light = signal<Light>((localStorage.getItem("light") as Light | null)
  ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light"));
effect(() => {
  document.documentElement.dataset["light"] = light.value;
  localStorage.setItem("light", light.value);
});

const thisWeek = (): string => weekOf(new Date().toLocaleDateString("sv-SE"));

function View() {
  const p = place.value;
  switch (p.view) {
    case "chart": return <ChartView />;
    case "calendar": return <CalendarView week={p.of === "" ? thisWeek() : p.of} />;
    case "find": return <FindView text={p.of} />;
    case "names": return <NamesView of={p.of} />;
    case "job": return <JobView key={p.of} id={p.of} />;
  }
}

function App() {
  useEffect(() => {
    const key = (e: KeyboardEvent): void => {
      if (!(e.ctrlKey || e.metaKey) || e.altKey || /^(INPUT|TEXTAREA|SELECT)$/.test((e.target as Element).nodeName)) return;
      if (e.key.toLowerCase() === "z") { e.preventDefault(); void undo().catch(refuse); }
    };
    addEventListener("keydown", key);
    return () => removeEventListener("keydown", key);
  }, []);
  const n = notice.value, at = place.value.view === "job" ? "chart" : place.value.view;
  return (
    <div class="office">
      <main>
        <h1 class="sr">{words.title}</h1>
        <p role={n.stop ? "alert" : "status"} class={`notice ${n.stop ? "stop" : ""}`}>{n.text}</p>
        <ClashView />
        <View />
      </main>
      <footer class="foot">
        <div class="title"><b>{words.title}</b></div>
        <nav aria-label={words.title}>
          {(["chart", "calendar", "find", "names"] as const).map((v) => <a key={v} href={hashOf(v)}
            aria-current={at === v ? "page" : undefined}>{words.views[v]}</a>)}
          <a href="/">{words.roofs}</a>
        </nav>
        <div class="foot-tools">
          <button type="button" disabled={done.value.length === 0} onClick={() => { void undo().catch(refuse); }}>{
            `${words.undo} ${done.value.length || ""}`.trim()}</button>
          <label class="light"><span>{words.light}</span> <select value={light.value}
            onChange={(e) => { light.value = e.currentTarget.value as Light; }}>{(["light", "dark", "bright"] as const).map((l) =>
              <option key={l} value={l}>{words.lights[l]}</option>)}</select></label>
        </div>
      </footer>
    </div>
  );
}

addEventListener("hashchange", () => { place.value = placeOf(location.hash); notice.value = { text: "", stop: false }; });
render(<App />, document.body);
