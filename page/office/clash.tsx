// What differs when somebody else was faster, and the three ways on.

import { office as words } from "../words/spoken";
import { clash, clashed, type Clash } from "./state";

const said = (x: unknown): string => {
  if (x === null || x === undefined || x === "" || (Array.isArray(x) && x.length === 0)) return words.conflict.empty;
  return typeof x === "string" ? x : Array.isArray(x) ? x.map((e) => (typeof e === "string" ? e : Object.values(e as object)
    .filter((v) => v !== "").join(", "))).join("; ") : JSON.stringify(x);
};

async function settle(c: Clash, how: "theirs" | "join" | "mine"): Promise<void> {
  clash.value = null;
  try {
    if (how === "join") await c.over(c.there.version, c.there.joined);
    if (how === "mine") await c.over(c.there.version);
  } catch (why) {
    clashed(why, c);
  }
  c.after();
}

/** ClashView shows what two changes differ in. */
export function ClashView() {
  const c = clash.value;
  if (!c) return null;
  const w = words.conflict;
  return (
    <section class="clash" role="alert" aria-label={w.head(c.there.who, c.there.what)}>
      <p class="stop"><b>{w.head(c.there.who, c.there.what)}</b></p>
      <table>
        <thead><tr><th scope="col">{w.field}</th><th scope="col">{w.mine}</th><th scope="col">{w.theirs}</th><th scope="col">
          <span class="sr">{w.both}</span></th></tr></thead>
        <tbody>{c.there.differs.map((d) => <tr key={d.field}><th scope="row">{w.fields[d.field] ?? d.field}</th><td>{said(d.mine)}</td>
          <td>{said(d.theirs)}</td><td>{d.both ? w.both : ""}</td></tr>)}</tbody>
      </table>
      <div class="acts">
        <button type="button" class="act" onClick={() => { void settle(c, "theirs"); }}>{w.take}</button>
        <button type="button" class="act" onClick={() => { void settle(c, "join"); }}>{w.join}</button>
        <button type="button" class="act" onClick={() => { void settle(c, "mine"); }}>{w.mineOver}</button>
      </div>
    </section>
  );
}
