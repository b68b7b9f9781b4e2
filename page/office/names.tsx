// Customers, sites and crews: who they are.

import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { office as words } from "../words/spoken";
import { newId, server, type Crew, type Customer, type Rec, type Sheets, type Site } from "./calls";
import { lines, Text } from "./form";
import { clash, refuse, write } from "./state";

type Many = "customers" | "sites" | "crews";
interface All { readonly customers: readonly Rec<Customer>[]; readonly sites: readonly Rec<Site>[]; readonly crews: readonly Rec<Crew>[] }

const all = signal<All | null>(null);

async function load(): Promise<void> {
  try {
    const [customers, sites, crews] = await Promise.all([server.all("customers"), server.all("sites"), server.all("crews")]);
    all.value = { customers, sites, crews };
  } catch (why) {
    refuse(why);
  }
}

/** fields are those of each kind, in order; the ones of several lines are lists. */
const fields = {
  customers: ["name", "telephone", "mail", "address", "note"], sites: ["name", "address", "access", "place", "note"],
  crews: ["name", "mark", "people", "works", "note"],
} as const;
const lists = new Set(["address", "people", "works"]), long = new Set([...lists, "note", "access"]);

const blank: { readonly [M in Many]: Sheets[M] } = {
  customers: { name: "", address: [], telephone: "", mail: "", note: "", away: false },
  sites: { name: "", address: [], access: "", place: "", note: "", away: false },
  crews: { name: "", people: [], mark: "", works: [], note: "", away: false },
};

/** NamesView lists them; of is the one that is opened. */
export function NamesView({ of }: { of: string }) {
  useEffect(() => { void load(); }, []);
  const a = all.value;
  if (!a) return <p role="status" class="small">{words.working}</p>;
  return (
    <section aria-label={words.views.names} class="names">
      {(["crews", "customers", "sites"] as const).map((many) => <section key={many} aria-label={words.names[many]}>
        <h2>{words.names[many]}</h2>
        {a[many].length === 0 && <p class="small">{words.names.none}</p>}
        {(a[many] as readonly Rec<Sheets[Many]>[]).map((r) => <details key={r.id} open={r.id === of}>
          <summary>{many === "crews" && <b class="crewmark">{(r.sheet as Crew).mark}</b>} {r.sheet.name}</summary>
          <Fields many={many} record={r} /></details>)}
        <Begin key={`new ${a[many].length}`} many={many} count={a[many].length} />
      </section>)}
    </section>
  );
}

function Fields({ many, record }: { many: Many; record: Rec<Sheets[Many]> }) {
  const sheet = record.sheet as unknown as { readonly [field: string]: string | readonly string[] };
  const again = (): void => { void load(); };
  const keep = async (what: string, change: object): Promise<void> => {
    await write(many, record, what, { ...record.sheet, ...change } as never, again);
    if (!clash.value) again();
  };
  return (
    <div class="fields">{fields[many].map((f) => {
      const v = sheet[f] ?? "";
      return <Text key={f} label={words.names.fields[f] ?? f} many={long.has(f)} value={typeof v === "string" ? v : v.join("\n")}
        onKeep={(t) => { void keep(f, { [f]: lists.has(f) ? lines(t) : t }); }} />;
    })}
    <div class="acts"><button type="button" class="act quiet" onClick={() => { void keep("put away", { away: true }); }}>{
      words.names.fields["away"]}</button></div></div>
  );
}

/** Begin begins a sheet with a name; a crew's first mark is its first letter. */
function Begin({ many, count }: { many: Many; count: number }) {
  const begin = async (name: string): Promise<void> => {
    const id = newId();
    const mark = many === "crews" ? { mark: freeMark(name, count) } : {};
    await server.put(many, id, 0, "begun", { ...blank[many], name, ...mark } as never).catch(refuse);
    await load();
  };
  return <Text label={words.names.begin[many] ?? many} value="" onKeep={(v) => { if (v.trim() !== "") void begin(v.trim()); }} />;
}

/** freeMark is a mark that no crew has yet: the first letter of the name, else its place. */
function freeMark(name: string, count: number): string {
  const letter = name.slice(0, 1).toUpperCase();
  const taken = new Set(all.value?.crews.map((c) => c.sheet.mark.toUpperCase()));
  return /\p{L}|\p{N}/u.test(letter) && !taken.has(letter) ? letter : String(count + 1);
}
