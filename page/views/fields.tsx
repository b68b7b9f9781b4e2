// The build-up: every plain field of the roof file, as written or as taken, changed in place.

import { signal } from "@preact/signals";
import type { Json } from "../model/doc";
import { at } from "../model/json";
import type { Session } from "../session/session";
import { figure, margin as words, unfigured } from "../words/spoken";
import type { Default, Field } from "../worker/answers";
import { parted, partOf } from "../parts/parted";
import { read, setField } from "../parts/settings";

const known = signal<readonly Field[] | null>(null);
const taken = signal<{ readonly of: unknown; readonly list: readonly Default[] }>({ of: null, list: [] });

/** Fields shows the groups of the roof file that are not drawn. */
export function FieldsView({ session }: { session: Session }) {
  if (known.value === null) {
    known.value = [];
    session.ask("fields", {}).then((list) => { known.value = list; }, () => {});
  }
  const of = session.answer.value;
  if (of && taken.value.of !== of) {
    taken.value = { of, list: taken.value.list };
    session.ask("defaults", {}).then((list) => { if (taken.value.of === of) taken.value = { of, list }; }, () => {});
  }
  const doc = session.doc.value;
  const defaults = new Map(taken.value.list.map((d) => [d.field, d]));
  const groups = ["spec", "day", "crew", "site", "use", "work", ""] as const;
  return (
    <div>
      {!of && <p class="small">{words.fieldsNoPlan}</p>}
      {groups.map((g) => {
        const list = known.value!.filter((f) => !f.deck && (f.path.includes(".") ? f.path.startsWith(`${g}.`) : g === ""));
        return <Group key={g} name={words.groups[g]} open={g === "spec"}
          rows={list.map((f) => ({ field: f, path: f.path, value: at(doc.fields, f.path.split(".")), taken: defaults.get(f.path) }))}
          session={session} />;
      })}
      {doc.decks.map((d, i) => {
        const name = typeof d.fields["name"] === "string" ? d.fields["name"] : doc.decks.length === 1 ? "main" : `deck ${i + 1}`;
        const path = `decks[${name}]`;
        return <Group key={d.id} name={`${words.groups.base}: ${name}`} open={false} session={session}
          rows={known.value!.filter((f) => f.deck && f.path !== "name").map((f) => ({ field: f, path: `${path}.${f.path}`,
            value: at(d.fields, f.path.split(".")), taken: defaults.get(`${path}.${f.path}`) }))} />;
      })}
    </div>
  );
}

interface Row {
  readonly field: Field;
  readonly path: string;
  readonly value: Json | undefined;
  readonly taken: Default | undefined;
}

/** rank puts what is written or taken before what nobody needs to say; a default that is changed stays in its place. */
const rank = (r: Row): number => (r.value !== undefined || r.taken ? 0 : 1);

function Group({ session, name, rows, open }: { session: Session; name: string; rows: readonly Row[]; open: boolean }) {
  return (
    <details class="group" open={open}>
      <summary><h2>{name}</h2></summary>
      {parted(rows, (r) => partOf(r.field.path, r.field.deck)).map((p) => {
        const lines = p.rows.toSorted((a, b) => rank(a) - rank(b)).map((r) => <Line key={r.path} session={session} row={r} />);
        return p.part === "" ? lines : <fieldset key={p.part} class="part"><legend>{partName(p.part)}</legend>{lines}</fieldset>;
      })}
    </details>
  );
}

/** partName is what a part is called: by the catalogue, else as its path says. */
function partName(part: string): string {
  const names: { readonly [part: string]: string } = words.parts;
  return names[part] ?? part.replaceAll(/[._]/g, " ");
}

const said = (v: Json | undefined): string => (v === undefined || v === null ? "" : typeof v === "string" ? v : JSON.stringify(v));

function label(path: string): string {
  const last = path.slice(path.lastIndexOf(".") + 1);
  return last.replace(/_(mm|m|c|kg|deg|pct|min|km|ms|kpa|g_per_m2|kg_per_m2)$/, "").replaceAll("_", " ");
}

function Line({ session, row }: { session: Session; row: Row }) {
  const { field, path, value } = row;
  const write = (text: string): void => {
    const v: Json | undefined = text === "" ? undefined : field.kind === "text" ? text
      : read(field.kind === "number" ? unfigured(text) : text);
    if (said(v) !== said(value)) setField(session, path, v);
  };
  const id = `field-${path}`;
  const shownAs = field.kind === "number" ? figure : (text: string): string => text;
  const shown = shownAs(said(value)), other = shownAs(row.taken?.value ?? "");
  return (
    <div class={value === undefined ? "line" : "line given"}>
      <label for={id}>{label(path)}{field.unit && <span class="small"> {field.unit}</span>}</label>
      {field.choices.length > 0 || field.kind === "yes or no"
        ? <select id={id} value={shown} onChange={(e) => write(e.currentTarget.value)}>
          <option value="">{other ? `${other} *` : "–"}</option>
          {(field.choices.length > 0 ? field.choices : ["true", "false"]).map((c) => <option key={c} value={c}>{c}</option>)}
        </select>
        : <input id={id} type="text" inputMode={field.kind === "number" ? "decimal" : "text"} value={shown} placeholder={other
          ? `${other} *` : ""}
          onChange={(e) => write(e.currentTarget.value)} />}
      <small>{field.doc}{value === undefined && row.taken ? ` * ${words.fieldsTaken}: ${row.taken.why}.` : ""}</small>
    </div>
  );
}
