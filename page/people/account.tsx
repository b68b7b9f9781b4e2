// One's own account: password, sessions, passkeys, tokens.

import { useState } from "preact/hooks";
import { people as words } from "../words/spoken";
import { call, makePasskey, passkeysKept, post, type Me, type Pass, type Passkey, type Secret } from "./door";
import { endOf, Frame, inDays, Notice, Once, PasswordField, RoleChoice, useLoaded, useTold, valuesOf } from "./frame";

/** Passes lists sessions, tokens or links, each with a way to end it. */
export function Passes({ list, onEnd, none }: { readonly list: readonly Pass[]; readonly none: string;
  readonly onEnd: (p: Pass) => void }) {
  if (list.length === 0) return <p class="small">{none}</p>;
  return <ul>{list.map((p) => <li key={p.id}><span>{p.name}{p.this && ` (${words.here})`}<small>{words.since(p.made, p.from)}
    {p.used && `, ${words.usedLast(p.used)}`}, {words.endsOn(p.ends)}</small></span>
    <button type="button" class="act" aria-label={`${words.end}: ${p.name}`} onClick={() => onEnd(p)}>{words.end}</button></li>)}</ul>;
}

/** Account is the page of one's own account. */
export function Account() {
  return <Frame title={words.account} ways><Sessions /><Passkeys /><Password /><Tokens /></Frame>;
}

function Sessions() {
  const [all, again, fault] = useLoaded(() => call<{ passes: Pass[] }>("GET", "/api/account/sessions"));
  const [told, tell] = useTold();
  const end = (path: string, gone: boolean): void => tell(async () => {
    await post(path);
    if (gone) location.href = "/sign-in";
    else again();
  });
  return <section><h2>{words.sessions}</h2>
    {all && <Passes list={all.passes} none={words.noSessions} onEnd={(p) => end(`/api/account/sessions/${p.id}/end`, p.this === true)} />}
    {all && all.passes.length > 1 && <button type="button" class="act" onClick={() => end("/api/account/sessions/end", false)}>
      {words.endOthers}</button>}
    <Notice told={told.text ? told : fault} /></section>;
}

function Passkeys() {
  const [all, again, fault] = useLoaded(() => call<{ passkeys: Passkey[] }>("GET", "/api/account/passkeys"));
  const [told, tell] = useTold();
  return <section><h2>{words.passkeys}</h2><p>{words.passkeysAbout}</p>
    {all && (all.passkeys.length === 0 ? <p class="small">{words.noneYet}</p> : <ul>{all.passkeys.map((k) => <li key={k.id}>
      <span>{k.name}<small>{words.minute(k.made)}{k.used && `, ${words.usedLast(k.used)}`}</small></span>
      <button type="button" class="act" aria-label={`${words.end}: ${k.name}`} onClick={() => tell(async () => {
        await post(`/api/account/passkeys/${encodeURIComponent(k.id)}/end`);
        again();
      })}>{words.end}</button></li>)}</ul>)}
    {passkeysKept() ? <form onSubmit={(e) => { const of = valuesOf(e); tell(async () => {
      await makePasskey(of("device")).catch((why: unknown) => {
        throw why instanceof DOMException ? new Error(words.passkeyStopped) : why; });
      again();
    }); }}>
      <label><span>{words.passkeyName}</span><input name="device" required /></label>
      <button class="act" type="submit">{words.addPasskey}</button></form> : <p class="small">{words.noPasskeys}</p>}
    <Notice told={told.text ? told : fault} /></section>;
}

function Password() {
  const [told, tell] = useTold();
  return <section><h2>{words.changePassword}</h2>
    <form onSubmit={(e) => { const of = valuesOf(e), form = e.currentTarget; tell(async () => {
      await post("/api/account/password", { old: of("old"), password: of("new") });
      form.reset();
      return { text: words.changed, good: true };
    }); }}>
      <PasswordField label={words.oldPassword} name="old" use="current-password" />
      <PasswordField label={words.newPassword} name="new" use="new-password" />
      <button class="act" type="submit">{words.changePassword}</button>
      <Notice told={told} />
    </form></section>;
}

function Tokens() {
  const [all, again, fault] = useLoaded(() => call<{ passes: Pass[] }>("GET", "/api/account/tokens"));
  const [me] = useLoaded(() => call<Me>("GET", "/api/me"));
  const [made, show] = useState<Secret | null>(null);
  const [told, tell] = useTold();
  return <section><h2>{words.tokens}</h2><p>{words.tokensAbout}</p>
    {all && <Passes list={all.passes} none={words.noneYet} onEnd={(p) => tell(async () => {
      await post(`/api/account/tokens/${p.id}/end`);
      again();
    })} />}
    {made && <Once about={words.tokens} secret={made.secret} />}
    <form onSubmit={(e) => { const of = valuesOf(e); tell(async () => {
      show(await post<Secret>("/api/account/tokens", { name: of("for"), role: of("role"), ends: endOf(of("ends")) }));
      again();
    }); }}>
      <label><span>{words.tokenName}</span><input name="for" required /></label>
      <label><span>{words.role}</span>{me && <RoleChoice name="role" value={me.role} most={me.role} label={words.role} />}</label>
      <label><span>{words.ends}</span><input name="ends" type="date" value={inDays(90)} required /></label>
      <button class="act" type="submit">{words.makeToken}</button>
      <Notice told={told.text ? told : fault} />
    </form></section>;
}
