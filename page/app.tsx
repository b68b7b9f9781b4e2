// The page: the roof is the sheet, what follows from it is its margin, the title block at the foot
// is the way to the other sheets.

import { Joining } from "./parts/joining";
import { effect, signal } from "@preact/signals";
import { render } from "preact";
import { useEffect } from "preact/hooks";
import { attempt, setJob } from "./model/commands";
import type { Doc, Json } from "./model/doc";
import { freshIds } from "./model/find";
import { historyOf, noHistory } from "./model/history";
import { docOf } from "./model/roofjson";
import { alone, sourceInside, type Alone } from "./session/alone";
import { documentOf, Keeping } from "./session/keeping";
import { office, type JobRow } from "./session/office";
import { SpeechContext } from "./sheet/speech";
import { emptyDoc, Session, viewKeys, type ViewKey } from "./session/session";
import { taping } from "./parts/drafts";
import { DayView } from "./views/day";
import { FieldsView } from "./views/fields";
import { Figures } from "./views/figures";
import { OrderView } from "./views/order";
import { PapersAlone } from "./views/alone";
import { PapersView } from "./views/papers";
import { Roof } from "./views/roof";
import { Layers, PieceFacts } from "./parts/layers";
import { mayBegin, Who } from "./parts/who";
import { Settle } from "./views/settle";
import { SurveyView } from "./views/survey";
import { formatArea, type Units } from "./words/length";
import { decimal, language, languages, margin as words, speak, words as drawn } from "./words/spoken";
import type { RoofDocument } from "./worker/answers";
import { Engine, Refused } from "./worker/bridge";

const here = (name: string): string => new URL(name, import.meta.url).href;
const engine = new Engine(alone ? sourceInside() : { worker: () => new Worker(here("engine.js")), engine: here("desk.wasm") });
const session = new Session(engine);
if (language !== "en") void engine.ask("language", { name: language }).catch(() => {});

const job = signal<string | null>(null);
const rows = signal<readonly JobRow[]>([]);
const examples = signal<readonly { readonly name: string; readonly title: string }[]>([]);
const notice = signal("");
const light = signal<"light" | "dark" | "bright">((localStorage.getItem("light") as "light" | "dark" | "bright" | null)
  ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light"));

effect(() => {
  document.documentElement.dataset["light"] = light.value;
  localStorage.setItem("light", light.value);
});

/** units in which lengths are shown and typed bare; what bears its unit is understood in either. */
const units = signal<Units>(localStorage.getItem("units") === "feet" ? "feet" : "metres");
effect(() => localStorage.setItem("units", units.value));

/** unitless is a drawing that does not say in which unit it is drawn, while the page asks. */
const unitless = signal<{ readonly name: string; readonly text: string } | null>(null);

const today = (): string => new Date().toLocaleDateString("sv-SE");
const said = (why: unknown): void => { notice.value = why instanceof Error ? why.message : String(why); };

/** opened reads an answer of the engine into a document. */
function opened(d: Pick<RoofDocument, "roof"> & { readonly outlines?: RoofDocument["outlines"] }): Doc | null {
  const made = docOf(d.roof as Json, freshIds);
  if ("why" in made) {
    notice.value = words.refused;
    return null;
  }
  return made.doc;
}

/** begin keeps a new job and shows it. */
async function begin(doc: Doc, what: string): Promise<void> {
  session.open(doc, noHistory);
  const made = await office.create(String(doc.fields["name"] ?? ""), "this computer", what, documentOf(session));
  location.hash = `job=${made.id}`;
}

async function blank(): Promise<void> {
  await begin(emptyDoc(words.newRoof, today()), "begun");
}

async function fromText(name: string, text: string, unit = ""): Promise<void> {
  notice.value = "";
  unitless.value = null;
  try {
    if (/\.(dxf|geojson|csv)$/i.test(name)) {
      const d = await engine.ask("import", { file: name, data: text, unit, layer: "", date: today() });
      if (d.notes.length > 0) notice.value = `${words.importNotes}: ${d.notes.join("; ")}`;
      const doc = opened(d);
      if (doc) await begin(doc, `from ${name}`);
      return;
    }
    const doc = opened(await engine.ask("read", { name, text }));
    if (doc) await begin(doc, `from ${name}`);
  } catch (why) {
    if (why instanceof Refused && /in which unit/.test(why.message) && unit === "") unitless.value = { name, text };
    else if (why instanceof Refused) notice.value = [why.message, ...why.refusal.faults.map((f) =>
      `${f.where} ${f.message}. ${f.remedy}`)].slice(0, 6).join(" · ");
    else said(why);
  }
}

/** rename is what the job that opens next is called from then on. */
let rename: string | null = null;

/** showAlone opens the job inside this file. */
async function showAlone(a: Alone): Promise<void> {
  const doc = a.document.page?.doc ?? opened({ roof: a.document.roof });
  if (!doc) return;
  session.forecast.value = a.forecast;
  session.firm.value = a.firm;
  job.value = "alone";
  session.kept.value = { state: "alone" };
  session.open(doc, historyOf(a.document.page?.history) ?? noHistory);
}

/** show opens the job that the address names, or the first page. */
async function show(): Promise<void> {
  if (alone) return showAlone(alone);
  const id = /job=([\w-]+)/.exec(location.hash)?.[1] ?? null;
  if (id === null) {
    job.value = null;
    [rows.value, examples.value] = await Promise.all([office.jobs("").then((r) => r.jobs), office.examples().then((e) => e.examples)]);
    return;
  }
  if (id === job.value) return;
  const j = await office.job(id);
  let doc = j.document.page?.doc ?? null;
  // A roof that came from a file has no page of its own yet.
  doc ??= opened({ roof: j.document.roof });
  if (!doc) return;
  const h = historyOf(j.document.page?.history) ?? noHistory;
  [session.forecast.value, session.firm.value] = await Promise.all(["forecast.csv", "firm.yaml"].map((name) => office.file(id, name)
    .catch(() => ""))) as [string, string];
  job.value = id;
  session.open(doc, h);
  new Keeping(session, id, j.seq);
  if (rename !== null) session.made(attempt(session.doc.value, setJob, { path: ["name"], value: rename }));
  rename = null;
}

/** reopen opens a job, under another name where one is given: an alternative is told from the roof that it was copied from. */
function reopen(id: string, name?: string): void {
  job.value = null;
  rename = name ?? null;
  if (location.hash === `#job=${id}`) void show().catch(said);
  else location.hash = `job=${id}`;
}

async function giveForecast(text: string): Promise<void> {
  session.forecast.value = text;
  if (job.value && !alone) await office.putFile(job.value, "forecast.csv", text).catch(said);
  session.plan();
}

function cell(key: ViewKey): string {
  const a = session.answer.value;
  if (!a) return "";
  const count = (g: string): number => a.worries.filter((w) => w.grade === g).length;
  switch (key) {
    case "survey": return formatArea(Number(a.figures[0]?.value ?? 0), units.value, decimal);
    case "build-up": return words.taken(a.taken);
    case "set-out": return words.boards(a.figures[1]?.value ?? "");
    case "day": return a.target > 0 ? words.inHundred(Math.round(100 * a.chance)) : words.forecast;
    case "settle": return count("stop") > 0 ? words.stops(count("stop")) : words.asks(count("ask"));
    case "order": return words.lines(a.bought);
    case "papers": return "";
  }
}

function Foot() {
  const kept = session.kept.value;
  const state = kept.state === "alone" ? words.alone : kept.state === "kept" ? words.kept(kept.at) : kept.state === "waiting"
    ? words.waiting : words.notKept(kept.why);
  return (
    <footer class="foot">
      <div class="title"><h1>{String(session.doc.value.fields["name"] ?? "")}</h1><small role="status" class={kept.state === "not kept"
        ? "stop" : ""}>{state}</small></div>
      <nav aria-label={words.figures}>
        {viewKeys.map((key) => (
          <button key={key} type="button" aria-current={session.view.value === key ? "page" : undefined} onClick={() => session.show(key)}>
            {words.views[key]}<small class={session.fresh.value ? "" : "stale"}>{cell(key)}</small>
          </button>))}
      </nav>
      <div class="foot-tools">
        <button type="button" onClick={() => session.undo()}
          disabled={!session.canUndo.value}>{words.undo} {session.history.value.done.length || ""}{session.history.value.aside?.length ? "+"
          : ""}</button>
        <button type="button" onClick={() => session.redo()} disabled={session.history.value.undone.length === 0}>{words.redo}</button>
        <button type="button" onClick={() => print()}>{words.print}</button>
        {!alone && <button type="button" onClick={() => { location.hash = ""; }}>{words.allJobs}</button>}
        <UnitsChoice />
        <LanguageChoice />
        <LightChoice />
      </div>
    </footer>
  );
}

function LightChoice() {
  return <label class="light"><span>{words.light}</span> <select value={light.value}
    onChange={(e) => { light.value = e.currentTarget.value as typeof light.value; }}>
    {(["light", "dark", "bright"] as const).map((l) => <option key={l} value={l}>{words.lights[l]}</option>)}</select></label>;
}

function UnitsChoice() {
  return <label class="light"><span>{words.units}</span> <select value={units.value}
    onChange={(e) => { units.value = e.currentTarget.value as Units; }}>
    {(["metres", "feet"] as const).map((u) => <option key={u} value={u}>{drawn.sheet[u]}</option>)}</select></label>;
}

function LanguageChoice() {
  return <label class="light"><span>{words.language}</span> <select value={language} onChange={(e) => speak(e.currentTarget.value)}>
    {Object.entries(languages).map(([code, name]) => <option key={code} value={code} lang={code}>{name}</option>)}</select></label>;
}

/** UnitQuestion asks what a drawing does not say. */
function UnitQuestion() {
  const q = unitless.value;
  if (!q) return null;
  return <section class="asking" role="alert" aria-label={words.whichUnit(q.name)}><h2>{words.whichUnit(q.name)}</h2>
    <div class="acts">{(["mm", "cm", "m", "in", "ft"] as const).map((u) => <button key={u} type="button" class="act"
      onClick={() => { void fromText(q.name, q.text, u).catch(said); }}>{words.unitNames[u]}</button>)}</div></section>;
}

function Margin() {
  switch (session.view.value) {
    case "survey": return taping.value !== null ? <SurveyView session={session} /> : <><Figures session={session} /><SurveyView
      session={session} /><Settle session={session} few /></>;
    case "build-up": return <><Figures session={session} /><FieldsView session={session} /></>;
    case "set-out": return <><Figures session={session} /><Layers session={session} only={(id) => !id.startsWith("buckets-")} /><PieceFacts
      session={session} /></>;
    case "day": return <DayView session={session} onForecast={(text) => { void giveForecast(text); }} />;
    case "settle": return <Settle session={session} />;
    case "order": return <OrderView session={session} />;
    case "papers": return alone ? <PapersAlone session={session} alone={alone} /> : <PapersView session={session} job={job.value}
      reopen={reopen} />;
  }
}

function Work() {
  useEffect(() => {
    const key = (e: KeyboardEvent): void => {
      if (!(e.ctrlKey || e.metaKey) || e.altKey || /^(INPUT|TEXTAREA|SELECT)$/.test((e.target as Element).nodeName)) return;
      if (e.key.toLowerCase() === "z") { e.preventDefault(); if (e.shiftKey) session.redo(); else session.undo(); }
      if (e.key.toLowerCase() === "y") { e.preventDefault(); session.redo(); }
    };
    addEventListener("keydown", key);
    return () => removeEventListener("keydown", key);
  }, []);
  return (
    <div class={`work view-${session.view.value}${session.view.value === "survey" && taping.value !== null ? " taping" : ""}`}>
      <main>
      <section class="pane" aria-label={words.roof}><Roof session={session} /></section>
      <section class="margin" aria-label={words.margin}>
        {notice.value && <p role="alert" class="ask">{notice.value}</p>}
        {session.broken.value !== null ? <p role="alert" class="stop">{words.engineBroken(session.broken.value)}</p>
          : session.engineMS.value === null && <p role="status" class="small">{words.engineStarting}</p>}
        <Joining session={session} />
        {words.readHere !== "" && <p class="small">{words.readHere}</p>}
        <Margin />
      </section>
      </main>
      <Foot />
    </div>
  );
}

function First() {
  return (
    <main class="first">
      <h1>gelwright</h1>
      {mayBegin() && <p class="lead">{words.start}</p>}
      {session.broken.value !== null && <p role="alert" class="stop">{words.engineBroken(session.broken.value)}</p>}
      {notice.value && <p role="alert" class="ask">{notice.value}</p>}
      <UnitQuestion />
      {mayBegin() && <div class="acts">
        <button type="button" class="act large" onClick={() => { void blank().catch(said); }}>{words.blank}</button>
        {examples.value.filter((e) => e.name.startsWith("r04")).map((e) => <button key={e.name} type="button" class="act large"
          onClick={() => { void office.example(e.name).then((t) => fromText(e.name, t)).catch(said); }}>{words.example}</button>)}
        <label class="act large">{words.open}<input type="file" class="sr" accept=".yaml,.yml,.json,.dxf,.geojson,.csv"
          onChange={(e) => { const f = e.currentTarget.files?.[0]; void f?.text().then((t) => fromText(f.name, t)).catch(said); }} />
            </label>
      </div>}
      <h2>{words.keptJobs}</h2>
      {rows.value.length === 0 ? <p class="small">{words.noJobs}</p> : <>
        <label>{words.find} <input type="search" onInput={(e) => { void office.jobs(e.currentTarget.value).then((r) => { rows.value =
          r.jobs; }).catch(said); }} /></label>
        <ul class="jobs">{rows.value.map((r) => <li key={r.id}><a href={`#job=${r.id}`}>{r.title || "–"}
          </a> <small>{r.site} · {new Date(r.changed).toLocaleString(language === "en" ? undefined : language)} · {words.states(r.states)}
          </small></li>)}</ul></>}
      <Who />
      <UnitsChoice />
      <LanguageChoice />
      <LightChoice />
    </main>
  );
}

function App() {
  return <SpeechContext.Provider value={{ words: drawn, units: units.value, decimal }}>{job.value === null ? <First /> : <Work />}
    </SpeechContext.Provider>;
}

document.documentElement.lang = language;
addEventListener("hashchange", () => { void show().catch(said); });
render(<App />, document.body);
void show().catch(said);
