// The people of the firm, for the owner; and who did what.

import { useState } from "preact/hooks";
import { people as words } from "../words/spoken";
import { Passes } from "./account";
import { call, post, type Deed, type Invited, type Pass, type Person } from "./door";
import { Frame, Notice, Once, RoleChoice, useLoaded, useTold, valuesOf } from "./frame";

/** Staff is the page of people. */
export function Staff() {
  const [all, again, fault] = useLoaded(() => call<{ people: Person[] }>("GET", "/api/people"));
  const [made, show] = useState<Invited | null>(null);
  const [told, tell] = useTold();
  const invited = (work: () => Promise<Invited>): void => tell(async () => { show(await work()); again(); });
  return <Frame title={words.staff} ways>
    {all && <ul>{all.people.map((p) => <Row key={p.id} person={p} again={again}
      onInvite={() => invited(() => post<Invited>(`/api/people/${p.id}/invite`))} />)}</ul>}
    {made && <Once about={words.inviteFor(made.person.name, made.ends)} secret={`${location.origin}/invitation#${made.secret}`} />}
    <h2>{words.add}</h2>
    <form onSubmit={(e) => { const of = valuesOf(e), form = e.currentTarget; invited(async () => {
      const x = await post<Invited>("/api/people", { name: of("name"), sign_in: of("sign_in"), role: of("role") });
      form.reset();
      return x;
    }); }}>
      <label><span>{words.name}</span><input name="name" autocomplete="off" required /></label>
      <label><span>{words.signInName}</span><input name="sign_in" autocomplete="off" autocapitalize="none" spellcheck={false} required />
      </label>
      <label><span>{words.role}</span><RoleChoice name="role" value="crew" label={words.role} /></label>
      <button class="act" type="submit">{words.addIt}</button>
      <Notice told={told.text ? told : fault} />
    </form>
  </Frame>;
}

function Row({ person: p, again, onInvite }: { readonly person: Person; readonly again: () => void; readonly onInvite: () => void }) {
  const [sure, ask] = useState(false);
  const [open, unfold] = useState(false);
  const [told, tell] = useTold();
  const at = `/api/people/${p.id}`;
  if (p.ended) return <li><span>{p.name}<small>{p.sign_in}, {words.roles[p.role]}, {words.ended(p.ended)}</small></span></li>;
  return <li><span>{p.name}<small>{p.sign_in}{!p.password && `, ${words.noPassword}`}</small></span>
    <RoleChoice value={p.role} label={`${words.role}: ${p.name}`} onChange={(role) => tell(async () => {
      try { await post(`${at}/role`, { role }); } finally { again(); }
    })} />
    <button type="button" class="act" onClick={onInvite} aria-label={`${words.invite}: ${p.name}`}>{words.invite}</button>
    <button type="button" class="act" aria-expanded={open} onClick={() => unfold(!open)}
      aria-label={`${words.showSessions}: ${p.name}`}>{words.showSessions}</button>
    {sure ? <><button type="button" class="act stop" onClick={() => tell(async () => { await post(`${at}/end`); again(); })}>
      {words.reallyEnd(p.name)}</button><button type="button" class="act" onClick={() => ask(false)}>{words.keep}</button></>
      : <button type="button" class="act" onClick={() => ask(true)}
        aria-label={`${words.endAccount}: ${p.name}`}>{words.endAccount}</button>}
    {open && <SessionsOf person={p} />}
    {told.text && <Notice told={told} />}</li>;
}

function SessionsOf({ person: p }: { readonly person: Person }) {
  const at = `/api/people/${p.id}/sessions`;
  const [all, again, fault] = useLoaded(() => call<{ passes: Pass[] }>("GET", at));
  const [told, tell] = useTold();
  return <section aria-label={words.sessionsOf(p.name)}>
    {all && <Passes list={all.passes} none={words.noSessions}
      onEnd={(x) => tell(async () => { await post(`${at}/${x.id}/end`); again(); })} />}
    <Notice told={told.text ? told : fault} /></section>;
}

/** Deeds is the page of who did what. */
export function Deeds() {
  const [before, go] = useState(0);
  const [all, , fault] = useLoaded(() => call<{ deeds: Deed[] }>("GET", `/api/deeds?limit=100&before=${before}`), String(before));
  const last = all?.deeds.at(-1)?.seq ?? 0;
  return <Frame title={words.deeds} ways><div class="scroll"><table>
    <thead><tr><th scope="col">{words.when}</th><th scope="col">{words.who}</th>
    <th scope="col">{words.what}</th><th scope="col">{words.from}</th></tr></thead><tbody>
    {all?.deeds.map((d) => <tr key={d.seq}><td>{words.minute(d.when)}</td><td>{d.by_name || words.nobody}</td>
      <td>{[d.kind, d.about, d.job?.slice(0, 8)].filter(Boolean).join(", ")}</td>
      <td>{[d.from, d.device].filter(Boolean).join(", ")}</td></tr>)}</tbody></table></div>
    {all?.deeds.length === 100 && <button type="button" class="act" onClick={() => go(last)}>{words.older}</button>}
    <Notice told={fault} /></Frame>;
}
