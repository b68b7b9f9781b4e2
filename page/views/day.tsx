// The day and its buckets: whether to begin, how sure that is, when each pass is laid, what goes into each bucket.

import { signal, useSignal } from "@preact/signals";
import { attempt, setJob } from "../model/commands";
import type { Session } from "../session/session";
import { margin as words } from "../words/spoken";
import type { Day, Start } from "../worker/answers";
import { Picture } from "../parts/picture";
import { Layers, picked, PieceFacts } from "../parts/layers";

const got = signal<{ readonly of: unknown; readonly day: Day | null }>({ of: null, day: null });

/** DayView is the margin of the day. */
export function DayView({ session, onForecast }: { session: Session; onForecast: (text: string) => void }) {
  const of = session.answer.value;
  if (of && got.value.of !== of) {
    got.value = { of, day: got.value.day };
    session.ask("day", {}).then((day) => { if (got.value.of === of) got.value = { of, day }; }, () => {});
  }
  const d = got.value.day;
  if (!d) return of ? <p class="small" role="status">{words.working("")}</p> : null;
  return (
    <section aria-label={words.views.day} class={session.fresh.value ? "" : "stale"}>
      <p class={d.order || !d.forecast ? "headline" : "headline stop"}>{d.headline}</p>
      {d.forecast ? <p class="chance"><b>{Math.round(100 * d.chance)}<span class="unit">in 100</span>
        </b> <small>{words.chance}; {words.wanted(d.target)}</small></p>
        : null}
      <div class="acts">
        <label class="act">{words.forecastGive}
          <input type="file" accept=".csv,.json,text/csv,application/json" class="sr"
            onChange={(e) => { void e.currentTarget.files?.[0]?.text().then(onForecast); }} />
        </label>
        {d.forecast && <button type="button" class="act quiet" onClick={() => onForecast("")}>{words.forecastDrop}</button>}
      </div>
      {d.starts.length > 0 && <Clock key={session.answer.value?.inputs ?? ""} starts={d.starts} session={session} />}
      {d.begins.length > 0 && <>
        <h2>{words.begins}</h2>
        <ul class="begins">{d.begins.map((b) =>
          <li key={b.date}><span>{b.date}</span> {b.at ? <b>{b.at} · {Math.round(100 * b.p)} in 100</b> : <span class="small">{b.why}
            </span>}
            {b.at && <span class="bar" aria-hidden="true"><Picture kind="bar" share={b.p} /></span>}</li>)}</ul>
      </>}
      {d.pictures.map((p, i) => <Picture key={i} kind="svg" svg={p} />)}
      <h2>{words.dayHead}</h2>
      <Layers session={session} only={(id) => id.startsWith("buckets-")} />
      <PieceFacts session={session} />
      {d.passes.map((p, i) => (
        <details key={i} class="group" open={i === 0}>
          <summary><b>{p.name}</b> <span class="small">{p.when} · {p.kg.toFixed(0)} kg</span></summary>
          {p.refusal && <p class="stop">{p.refusal}</p>}
          {p.first && <p class="ask">{p.first}</p>}
          <div class="scroll" tabIndex={0} role="region" aria-label={p.name}>
            <table><thead><tr><th>{words.bucket}</th><th>{words.mixAt}</th><th>{words.resin}</th><th>{words.catalyst}</th><th>{words.layBy}
              </th><th>{words.covers}</th></tr></thead>
              <tbody>{p.buckets.map((m) => <tr key={m.number}>
                <td><button type="button" class="link" aria-label={`${words.bucket} ${m.number}`}
                  onClick={() => { picked.value = { deck: deckIndex(session, p.deck), number: `bucket ${m.number}` }; }}>{m.number}
                  </button>{m.gang && ` ${m.gang}`}</td>
                <td>{m.mix}</td><td>{m.resin}</td><td>{m.dose}</td><td>{m.lay_by}</td><td>{m.covers}</td></tr>)}</tbody></table>
          </div>
        </details>
      ))}
      {d.notes.map((n, i) => <p key={i} class="small">{n}</p>)}
    </section>
  );
}

/** Clock drags the beginning along the hours that the forecast knows: the chance follows. */
function Clock({ starts, session }: { starts: readonly Start[]; session: Session }) {
  const best = Math.max(0, starts.reduce((best, s, i) => (s.p > (starts[best]?.p ?? 0) ? i : best), 0)), at = useSignal(best);
  const i = Math.min(at.value, starts.length - 1), s = starts[i];
  if (!s) return null;
  const sure = s.sure;
  return (
    <div class="clock">
      <label>{words.drag}
        <input type="range" min={0} max={starts.length - 1} step={1} value={i}
          aria-valuetext={`${s.date} ${s.at}, ${Math.round(100 * s.p)} in 100`}
          onInput={(e) => { at.value = Number(e.currentTarget.value); }} />
      </label>
      <svg viewBox={`0 0 ${starts.length} 20`} preserveAspectRatio="none" class="profile" aria-hidden="true">
        {starts.map((x, k) => <rect key={k} x={k} width={1} y={20 - 20 * x.p} height={20 * x.p} class={k === i ? "here" : x.sure ? "sure"
          : "unsure"} />)}
      </svg>
      <p class={sure ? "" : "stop"}>{sure ? words.beginAt : words.doNotBeginAt} <b>{s.date} {s.at}
        </b>: <b>{Math.round(100 * s.p)} in 100</b>, {words.until} {s.finish}</p>
      {i !== best && <p class="ask">{words.planOf}</p>}
      {s.day !== session.doc.value.fields["date"] && i !== best && <div class="acts"><button type="button" class="act"
        onClick={() => session.made(attempt(session.doc.value, setJob, { path: ["date"], value: s.day }))}>{words.planFrom(s.date)}</button>
          </div>}
    </div>
  );
}

/** deckIndex is the place of a deck by its name. */
export function deckIndex(session: Session, name: string): number {
  return Math.max(0, session.doc.value.decks.findIndex((d) => d.fields["name"] === name));
}
