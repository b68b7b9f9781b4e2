// The jobs as the firm's book has them: a line each, the trade's way as columns that are ticked off.

import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { office as words } from "../words/spoken";
import { server, type Chart, type Line, type Reminder, type Standing, type Step } from "./calls";
import { dayWords, hashOf, refuse, waitWords } from "./state";

const chart = signal<Chart | null>(null);
const asked = signal<{ readonly stage: string; readonly find: string; readonly pages: number }>({ stage: "", find: "", pages: 1 });
/** stands are what the roofs of the lines say, by job. */
const stands = signal<ReadonlyMap<string, Standing>>(new Map());

/** told is what somebody is to be told, of the newest day that has something. */
const told = signal<readonly Reminder[]>([]);

let asking = 0;
/** open is chosen for the jobs at one of the stages at which a job is open. */
const open = "open", opened = new Set(["order", "on the roof", "hand-over"]);
/** aScreen is how many roofs are asked for at once. */
const aScreen = 50;

/** quiet are the stages at which nothing is waited for from a roof. */
const quiet = new Set(["enquiry", "aftercare", "not taken"]);

/** load reads the chart, then asks what the roofs of its lines say, those of a page at once. */
async function load(): Promise<void> {
  const mine = ++asking;
  const q = asked.value;
  try {
    let all = await server.chart(q.stage, q.find, 0);
    for (let page = 1; page < q.pages && all.more; page++) {
      const next = await server.chart(q.stage, q.find, page);
      all = { ...next, lines: [...all.lines, ...next.lines] };
    }
    if (mine !== asking) return;
    chart.value = all;
    // A page behind which nothing is done has nothing to tell.
    const found = await server.reminders().catch(() => []);
    told.value = found.filter((r) => r.day === found[0]!.day);
    const asks = all.lines.filter((l) => !quiet.has(l.stage) && !stands.value.has(l.id)).map((l) => l.id);
    for (let n = 0; n < asks.length && mine === asking; n += aScreen) {
      const said = await server.standings(asks.slice(n, n + aScreen));
      stands.value = new Map([...stands.value, ...said.map((s) => [s.id, s] as const)]);
    }
  } catch (why) {
    refuse(why);
  }
}

/** ChartView is all jobs by where they stand. */
export function ChartView() {
  useEffect(() => { stands.value = new Map(); void load(); return () => { asking++; }; }, []);
  const c = chart.value, w = words.chart;
  const ask = (q: Partial<typeof asked.value>): void => { asked.value = { ...asked.value, pages: 1, ...q }; void load(); };
  if (!c) return <p role="status" class="small">{words.working}</p>;
  const all = c.stages.reduce((n, s) => n + s.jobs, 0);
  return (
    <section aria-label={words.views.chart} class="chart">
      <div class="ask-row">
        <label>{w.filter} <input type="search" value={asked.value.find} onInput={(e) => ask({ find: e.currentTarget.value })} /></label>
        <label>{w.stage} <select value={asked.value.stage} onChange={(e) => ask({ stage: e.currentTarget.value })}>
          <option value="">{w.all} ({all})</option>
          <option value={open}>{w.open} ({c.stages.reduce((n, s) => n + (opened.has(s.stage) ? s.jobs : 0), 0)})</option>
          {c.stages.map((s) => <option key={s.stage} value={s.stage}>{words.stages[s.stage]} ({s.jobs})</option>)}</select></label>
        <p role="status" class="small">{w.count(c.lines.length, c.total)}. {words.calendar.isToday(dayWords(c.today), c.zone)}</p>
      </div>
      {told.value.length > 0 && <details class="seen-to" open>
        <summary>{w.told(told.value.length, dayWords(told.value[0]!.day))}</summary>
        <ul>{told.value.map((r) => <li key={`${r.job} ${r.kind}`}><a href={hashOf("job", r.job)}>{r.title}</a>: {r.said}</li>)}</ul>
      </details>}
      {c.lines.length === 0 ? <p>{w.none}</p>
        : <div class="scroll" tabIndex={0} role="region" aria-label={w.caption}>
          <table class="book"><caption class="sr">{w.caption}</caption>
            <thead><tr><th scope="col">{w.job}</th>
              {c.lines[0]!.steps.map((s) => <th scope="col" key={s.stage} class="way"><span>{words.stages[s.stage]}</span></th>)}
              <th scope="col" class="stands">{w.stands}</th><th scope="col">{w.waits}</th><th scope="col">{w.next}</th>
              <th scope="col">{w.chance}</th></tr></thead>
            <tbody>{c.lines.map((l) => <JobLine key={l.id} line={l} chart={c} />)}</tbody>
          </table></div>}
      {c.more && <div class="acts"><button type="button" class="act" onClick={() => ask({ pages: asked.value.pages + 1 })}>{w.more}
        </button></div>}
    </section>
  );
}

function JobLine({ line, chart: c }: { line: Line; chart: Chart }) {
  const s = stands.value.get(line.id), waits = s?.waits ?? line.waits;
  const mark = c.crews.find((r) => r.id === line.crew)?.sheet.mark ?? "";
  return (
    <tr class={`at-${line.stage.replaceAll(" ", "-")}`}>
      <th scope="row"><a href={hashOf("job", line.id)}>{line.title}</a>
        <small>{[line.place, line.customer].filter((x) => x !== "").join(" · ")}</small></th>
      {line.steps.map((x) => <td key={x.stage} class="way"><Tick step={x} /></td>)}
      <td class="stands">{words.stages[line.stage]}{line.why === "" ? "" : `: ${line.why}`}</td>
      <td class="waits">{line.stage === "not taken" ? line.why : waits.length === 0 ? <small>{words.chart.nothing}</small>
        : <ul>{waits.map((x, i) => <li key={i} class={x.late || x.for === "faults" ? "stop" : ""}>{waitWords(x)}</li>)}</ul>}</td>
      <td class="next">{line.next === "" ? <small>{words.chart.noDay}</small> : <>{mark !== "" && <b class="crewmark">{mark}</b>} {
        dayWords(line.next)}</>}</td>
      <td class="chance">{line.next === "" ? "" : <Sure standing={s} day={line.next} />}</td>
    </tr>
  );
}

/** Tick is a stage of the way: done, here, or to come, told by a word and a shape. */
export function Tick({ step }: { step: Step }) {
  const name = words.stages[step.stage] ?? step.stage, day = dayWords(step.date);
  const text = step.here ? words.chart.here(name, day) : step.done ? words.chart.done(name, day) : words.chart.ahead(name);
  return (
    <span class={`tick ${step.here ? "here" : step.done ? "done" : "ahead"}`} title={text}>
      <svg viewBox="0 0 20 20" aria-hidden="true">{step.here ? <path d="M3 3h14v14H3z" /> : step.done ? <path d="M3 11l5 5 9-12" />
        : <circle cx="10" cy="10" r="2" />}</svg><span class="sr">{text}</span></span>
  );
}

/** Sure is how sure the next day is. */
function Sure({ standing, day }: { standing: Standing | undefined; day: string }) {
  if (!standing) return <small>{words.chance.asking}</small>;
  const c = standing.roof.outlook.days.find((d) => d.date === day);
  if (!c) return <small>{words.chance.unknown}</small>;
  return c.at === "" ? <span class="stop">{words.chance.none}</span>
    : <b class={c.sure ? "good" : "ask"}>{words.chance.in(c.p)}</b>;
}
