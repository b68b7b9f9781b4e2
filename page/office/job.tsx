// The office's sheet of a job: where it stands, who ordered, what it waits for, its days, its files.

import { signal, useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { office as words } from "../words/spoken";
import { newId, server, type Crew, type Customer, type Day, type JobSheet, type KeptFile,
  type Rec, type Run, type Site, type Standing, type Step } from "./calls";
import { Tick } from "./chart";
import { chanceWords } from "./chance";
import { Choice, Text } from "./form";
import { basis, clash, clashed, dayWords, hashOf, inLine, notice, refuse, say, waitWords, write, writeDays, wrote } from "./state";

interface Open {
  readonly id: string;
  readonly title: string;
  readonly site: string;
  readonly record: Rec<JobSheet>;
  readonly customers: readonly Rec<Customer>[];
  readonly sites: readonly Rec<Site>[];
  readonly crews: readonly Rec<Crew>[];
  readonly files: readonly KeptFile[];
  readonly versions: readonly Rec<JobSheet>[];
}

const open = signal<Open | null>(null);
const standing = signal<Standing | null>(null);

async function load(id: string): Promise<void> {
  try {
    const [job, record, customers, sites, crews, files, versions] = await Promise.all([server.job(id), server.one("jobs", id),
      server.all("customers"), server.all("sites"), server.all("crews"), server.files(id), server.versions("jobs", id)]);
    open.value = { id, title: job.title, site: job.site, record, customers, sites, crews, files, versions };
    standing.value = await server.standing(id);
  } catch (why) {
    refuse(why);
  }
}

/** JobView is one job. */
export function JobView({ id }: { id: string }) {
  useEffect(() => { open.value = null; standing.value = null; void load(id); }, [id]);
  const o = open.value;
  if (!o || o.id !== id) return <p role="status" class="small">{words.working}</p>;
  const again = (): void => { void load(id); };
  const keep = async (what: string, change: Partial<JobSheet>): Promise<void> => {
    await write("jobs", o.record, what, { ...o.record.sheet, ...change }, again);
    if (!clash.value) again();
  };
  return (
    <section aria-label={o.title} class="sheet-of-job">
      <header><h1>{o.title}</h1><p class="small">{[o.site, standing.value && standing.value.roof.area_m2 > 0
        ? words.job.area(standing.value.roof.area_m2) : ""].filter((x) => x !== "").join(" · ")}</p>
        <div class="acts"><a class="act" href={hashOf("chart")}>{words.job.back}</a>{" "}
          <a class="act" href={`/#job=${id}`}>{words.job.roof}</a></div>
      </header>
      <Way open={o} again={again} />
      <Waits open={o} keep={keep} />
      <People open={o} keep={keep} again={again} />
      <Days open={o} again={again} />
      <Files open={o} again={again} />
      <History open={o} />
    </section>
  );
}

type Keep = (what: string, change: Partial<JobSheet>) => Promise<void>;

/** Way is the trade's way with the stages as buttons. */
function Way({ open: o, again }: { open: Open; again: () => void }) {
  const why = useSignal(""), over = useSignal("");
  const move = async (stage: string): Promise<void> => {
    const to = (version: number, sheet?: unknown): Promise<unknown> => (sheet
      ? server.put("jobs", o.id, version, `moved to ${stage}`, sheet as JobSheet)
      : server.stage(o.id, version, stage, why.value)).then(wrote);
    try {
      await inLine(() => to(basis(o.record).version));
      over.value = why.value = "";
      notice.value = { text: "", stop: false };
      again();
    } catch (e) {
      clashed(e, { many: "jobs", id: o.id, what: `moved to ${stage}`, after: again, over: to });
    }
  };
  const s = o.record.sheet, steps = standing.value?.steps ?? [];
  const at = steps.findIndex((x) => x.here);
  // Where stages would be passed over it is asked why first.
  const press = (x: Step, n: number): void => {
    if (x.here) return;
    if (at >= 0 && n > at + 1) over.value = x.stage;
    else void move(x.stage);
  };
  return (
    <section aria-label={words.job.stage}><h2>{words.job.stage}</h2>
      <ol class="steps">{steps.map((x, n) => <li key={x.stage}><Tick step={x} />
        <button type="button" class="act" aria-current={x.here ? "step" : undefined} aria-label={words.job.move(words.stages[x.stage]
          ?? x.stage)} onClick={() => press(x, n)}>{words.stages[x.stage]}</button>
        <small>{dayWords(x.date)}</small></li>)}</ol>
      {over.value !== "" && <div class="day-of">
        <p>{words.job.passes(steps.slice(at + 1, steps.findIndex((x) => x.stage === over.value))
          .map((x) => words.stages[x.stage] ?? x.stage).join(", "))}</p>
        <Text label={words.job.whyOver} value="" onKeep={(v) => { why.value = v; }} />
        <button type="button" class="act" onClick={() => { void move(over.value); }}>{
          words.job.moveOver(words.stages[over.value] ?? over.value)}</button></div>}
      {s.stage === "not taken" ? <p class="stop">{words.job.notTaken}: {s.why}</p>
        : <details><summary>{words.job.notTaken}</summary><p class="small">{words.job.say}</p>
          <label>{words.job.why} <input type="text" onInput={(e) => { why.value = e.currentTarget.value; }} /></label>
          <div class="acts"><button type="button" class="act" onClick={() => { void move("not taken"); }}>
            {words.job.move(words.job.notTaken)}
            </button></div></details>}
    </section>
  );
}

/** Waits are what it waits for: what is found, and what somebody types. */
function Waits({ open: o, keep }: { open: Open; keep: Keep }) {
  const s = o.record.sheet, w = words.job;
  const lines = (list: JobSheet["waits"]): Promise<void> => keep("waits", { waits: list });
  return (
    <section aria-label={w.waits}><h2>{w.waits}</h2>
      <ul class="found">{(standing.value?.waits ?? []).filter((x) => x.for !== "word").map((x, i) => <li key={i}
        class={x.for === "faults" ? "stop" : "ask"}>{waitWords(x)}</li>)}</ul>
      {s.waits.map((x, i) => <div class="pair-of" key={`${i} ${x.what}`}>
        <Text label={`${w.typed} ${i + 1}`} value={x.what} onKeep={(v) => {
          if (v !== "") void lines(s.waits.with(i, { ...x, what: v })); }} />
        <Text label={w.by} type="date" value={x.by} onKeep={(v) => { void lines(s.waits.with(i, { ...x, by: v })); }} />
        <button type="button" class="act quiet" onClick={() => { void lines(s.waits.toSpliced(i, 1)); }}>{w.drop}</button></div>)}
      <Text key={`new ${s.waits.length}`} label={w.add} value="" onKeep={(v) => { void lines([...s.waits, { what: v, by: "" }]); }} />
      <Text label={w.ordered} type="date" value={s.ordered} onKeep={(v) => { void keep("goods ordered", { ordered: v }); }} />
      <Text label={w.note} many value={s.note} onKeep={(v) => { void keep("note", { note: v }); }} />
    </section>
  );
}

/** People are customer and site. */
function People({ open: o, keep, again }: { open: Open; keep: Keep; again: () => void }) {
  const s = o.record.sheet, w = words.job;
  const begin = async (many: "customers" | "sites", name: string): Promise<void> => {
    const blank = { name, address: [], note: "", away: false };
    const id = newId();
    try {
      if (many === "customers") await server.put(many, id, 0, "begun", { ...blank, telephone: "", mail: "" });
      else await server.put(many, id, 0, "begun", { ...blank, access: "", place: "" });
      await keep(`${many === "customers" ? "customer" : "site"}: ${name}`, many === "customers" ? { customer: id } : { site: id });
    } catch (why) {
      refuse(why);
      again();
    }
  };
  const customer = o.customers.find((c) => c.id === s.customer)?.sheet;
  return (
    <section aria-label={w.people}><h2>{w.people}</h2>
      <Choice label={w.customer} value={s.customer} of={[["", w.none], ...o.customers.map((c) => [c.id, c.sheet.name] as const)]}
        onKeep={(v) => { void keep("customer", { customer: v }); }} />
      {customer && <p class="small">{[customer.telephone, customer.mail, ...customer.address].filter((x) => x !== "").join(" · ")}</p>}
      <Text key={`c ${o.customers.length}`} label={w.newCustomer} value="" onKeep={(v) => { void begin("customers", v); }} />
      <Choice label={w.site} value={s.site} of={[["", w.noSite], ...o.sites.map((c) => [c.id, c.sheet.name] as const)]}
        onKeep={(v) => { void keep("site", { site: v }); }} />
      <Text key={`s ${o.sites.length}`} label={w.newSite} value="" onKeep={(v) => { void begin("sites", v); }} />
    </section>
  );
}

/** Days are its days on the roof, each with how sure the whole roof is from it. */
function Days({ open: o, again }: { open: Open; again: () => void }) {
  const w = words.job, days = standing.value?.days ?? [];
  const crews = [["", w.nobody], ...o.crews.map((c) => [c.id, `${c.sheet.mark} ${c.sheet.name}`] as const)] as const;
  const parts = Object.entries(w.parts);
  const change = async (d: Rec<Day>, what: string, x: Partial<Day>): Promise<void> => {
    await write("days", d, what, { ...d.sheet, ...x }, again);
    if (!clash.value) again();
  };
  const plan = async (date: string): Promise<void> => {
    if (date === "") return;
    const blank: Rec<Day> = { id: newId(), version: 0, when: "", who: "", what: "",
      sheet: { job: o.id, crew: "", date, part: "whole", note: "",
      off: false } };
    if (await write("days", blank, "planned", { ...blank.sheet, crew: days.at(-1)?.sheet.crew ?? "" }, again)) say("");
    again();
  };
  return (
    <section aria-label={w.days}><h2>{w.days}</h2>
      {days.map((d) => <div class="day-of" key={`${d.id} ${d.version}`}>
        <Text label={w.date} type="date" value={d.sheet.date} onKeep={(v) => { if (v !== "") void change(d, "moved", { date: v }); }} />
        <Choice label={w.crew} value={d.sheet.crew} of={crews} onKeep={(v) => { void change(d, "crew", { crew: v }); }} />
        <Choice label={w.part} value={d.sheet.part} of={parts} onKeep={(v) => { void change(d, "part of the day", { part: v }); }} />
        <Text label={w.note} value={d.sheet.note} onKeep={(v) => { void change(d, "note", { note: v }); }} />
        <button type="button" class="act quiet" onClick={() => { void change(d, "taken off", { off: true }); }}>{w.off}</button>
        {standing.value && <p class={chanceWords(standing.value.roof.outlook, d.sheet.date).sure === false ? "stop" : "small"}>{
          chanceWords(standing.value.roof.outlook, d.sheet.date).text}</p>}
      </div>)}
      <Text key={`new ${days.length}`} label={w.plan} type="date" value="" onKeep={(v) => { void plan(v); }} />
      <WholeRoof key={`run ${days.length}`} open={o} crews={crews} again={again} />
    </section>
  );
}

/** WholeRoof puts a roof into the calendar with as many days as its plan has; how sure it is stands there before it is kept. */
function WholeRoof({ open: o, crews, again }: { open: Open; crews: readonly (readonly [string, string])[]; again: () => void }) {
  const w = words.job, from = useSignal(""), crew = useSignal(""), many = useSignal(0), run = useSignal<Run | null>(null);
  const asking = useRef(0); // an answer that comes late is none to what is asked now
  const ask = async (): Promise<void> => {
    const mine = ++asking.current;
    run.value = null;
    if (from.value === "") return;
    try {
      const said = await server.run(o.id, { to: from.value, crew: crew.value, days: many.value });
      if (mine !== asking.current) return;
      run.value = said;
      notice.value = { text: "", stop: false };
    } catch (why) {
      refuse(why);
    }
  };
  const put = async (): Promise<void> => {
    if (run.value) await writeDays(run.value.days.map((d) => ({ was: d, sheet: d.sheet })), w.wholeRoof, again);
    again();
  };
  const r = run.value, x = r && chanceWords(r.outlook, r.from);
  return (
    <fieldset class="day-of"><legend>{w.wholeRoof}</legend>
      <Text label={w.from} type="date" value={from.value} onKeep={(v) => { from.value = v; void ask(); }} />
      <Choice label={w.crewOfAll} value={crew.value} of={crews} onKeep={(v) => { crew.value = v; void ask(); }} />
      <Choice label={w.howMany} value={String(many.value)} of={[["0", w.asPlanned], ...[...Array(20).keys()].map((n) =>
        [String(n + 1), String(n + 1)] as const)]} onKeep={(v) => { many.value = Number(v); void ask(); }} />
      <button type="button" class="act" disabled={r === null} onClick={() => { void put(); }}>{w.putIn}</button>
      {r && x && <p class={x.sure === false || r.twice.length > 0 ? "stop" : "small"}>{[
        words.calendar.dates(r.days.map((d) => dayWords(d.sheet.date)), r.days.length), x.text, ...r.twice.map((t) =>
          words.calendar.twice(crews.find((c) => c[0] === t.crew)?.[1] ?? "", dayWords(t.date)))].join(" ")}</p>}
    </fieldset>
  );
}

/** Files are what was put with the job. */
function Files({ open: o, again }: { open: Open; again: () => void }) {
  const w = words.job;
  const upload = async (list: FileList | null): Promise<void> => {
    for (const f of list ?? []) await server.putFile(o.id, f).catch(refuse);
    again();
  };
  return (
    <section aria-label={w.files}><h2>{w.files}</h2>
      {o.files.length === 0 ? <p class="small">{w.noFiles}</p> : <ul class="files">{o.files.map((f) => <li key={f.name}>
        <a href={server.fileAt(o.id, f.name)} target="_blank" rel="noopener">{/^image\/(jpeg|png|webp|gif)$/.test(f.mediaType)
          && <img src={server.fileAt(o.id, f.name)} alt="" loading="lazy" />}{f.name}</a> <small>{f.who}</small></li>)}</ul>}
      <div class="acts"><label class="act">{w.upload}<input type="file" class="sr" multiple
        onChange={(e) => { void upload(e.currentTarget.files); }} /></label></div>
    </section>
  );
}

/** History is who changed the sheet. */
function History({ open: o }: { open: Open }) {
  const w = words.job;
  return (
    <details><summary><b>{w.history}</b></summary>
      {o.versions.length === 0 ? <p class="small">{w.never}</p> : <ul class="states">{o.versions.map((v) => <li key={v.version}>
        {v.what} <small>{w.kept(v.who, new Date(v.when).toLocaleString(words.locale))}</small></li>)}</ul>}
    </details>
  );
}
