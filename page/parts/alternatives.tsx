// Alternatives of one survey, side by side: what changes in area, boards, days and checks.

import { signal } from "@preact/signals";
import { office, type Alternative } from "../session/office";
import { margin as words } from "../words/spoken";

const got = signal<{ readonly of: unknown; readonly list: readonly Alternative[] | null; readonly why: string }>({ of: null, list: null,
  why: "" });

/** Alternatives are planned by the server when somebody looks; of is what they were asked for: the job as it is kept now. */
export function Alternatives({ job, of }: { job: string; of: unknown }) {
  const ask = (open: boolean): void => {
    if (!open || got.value.of === of) return;
    got.value = { of, list: null, why: "" };
    office.alternatives(job).then((a) => { if (got.value.of === of) got.value = { of, list: a.alternatives, why: "" }; },
      (why: unknown) => { if (got.value.of === of) got.value = { of, list: [], why: why instanceof Error ? why.message : String(why) }; });
  };
  return (
    <details class="group" onToggle={(e) => ask(e.currentTarget.open)}>
      <summary><h2>{words.alternatives}</h2></summary>
      {got.value.why && <p class="ask">{got.value.why}</p>}
      {got.value.of === of && <SideBySide list={got.value.list} job={job} />}
    </details>
  );
}

/** rowsOf are the figures by which alternatives are held against each other. */
const rowsOf: readonly (readonly [keyof typeof words.alternativeRows, (a: Alternative) => number])[] = [
  ["area", (a) => Math.round(a.area_m2 * 10) / 10], ["boards", (a) => a.boards], ["resin", (a) => Math.round(a.resin_kg)],
    ["buckets", (a) => a.buckets],
  ["days", (a) => a.wet_days], ["failed", (a) => a.failed.length], ["open", (a) => a.open.length]];

function SideBySide({ list, job }: { list: readonly Alternative[] | null; job: string }) {
  if (list === null) return <p class="small" role="status">{words.working("")}</p>;
  const own = list.find((a) => a.id === job), others = list.filter((a) => a.id !== job);
  if (!own || others.length === 0) return <p class="small">{words.alternativesNone}</p>;
  const all = [own, ...others];
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label={words.alternatives}>
      <table class="alternatives">
        <thead><tr><td />{all.map((a) => <th key={a.id} scope="col">{a === own ? words.thisOne : <a href={`#job=${a.id}`}>{a.title}</a>}
          </th>)}</tr></thead>
        <tbody>{rowsOf.map(([key, of]) => <tr key={key}><th scope="row">{words.alternativeRows[key]}</th>
          {all.map((a) => <td key={a.id} class="number">{a.refusal ? words.noPlan : <Against value={of(a)} own={own.refusal ? null
            : of(own)} />}</td>)}</tr>)}
        </tbody>
      </table>
      {others.map((a) => <Changed key={a.id} a={a} own={own} />)}
    </div>
  );
}

/** Against is a figure with how much it differs from this roof's. */
function Against({ value, own }: { value: number; own: number | null }) {
  const by = own === null ? 0 : Math.round((value - own) * 10) / 10;
  return <>{value}{by !== 0 && <b aria-label={words.besides(signed(by))}> {signed(by)}</b>}</>;
}

const signed = (n: number): string => (n > 0 ? `+${n}` : `−${-n}`);

/** Changed names the checks that fail here alone or there alone, and why there is no plan. */
function Changed({ a, own }: { a: Alternative; own: Alternative }) {
  const alone = a.failed.filter((c) => !own.failed.includes(c)), gone = own.failed.filter((c) => !a.failed.includes(c));
  if (!a.refusal && alone.length + gone.length === 0) return null;
  return <p class="small"><b>{a.title}</b> {a.refusal?.detail} {[...alone.map((c) => `+ ${c}`), ...gone.map((c) => `− ${c}`)].join("; ")}
    </p>;
}
