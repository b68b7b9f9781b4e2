// What the pages of accounts share: the frame with its ways on, why something was not done, and a secret that is shown once.

import { useEffect, useState } from "preact/hooks";
import type { ComponentChildren } from "preact";
import { people as words } from "../words/spoken";
import { call, post, type Me } from "./door";

/** Told is why something was not done, or that it was; empty is nothing. */
export interface Told { readonly text: string; readonly good?: boolean }

/** useTold gives what was told last, and a way to try a thing and tell why it was not done. */
export function useTold(): readonly [Told, (work: () => Promise<Told | void>) => void] {
  const [told, tell] = useState<Told>({ text: "" });
  return [told, (work) => {
    tell({ text: "" });
    void work().then((t) => { if (t) tell(t); }).catch((why: unknown) => {
      tell({ text: why instanceof Error && why.message ? why.message : words.failed });
    });
  }];
}

/** Notice shows what was told. */
export function Notice({ told }: { readonly told: Told }) {
  return <p role={told.good ? "status" : "alert"} class={told.good ? "good" : "stop"}>{told.text}</p>;
}

/** useLoaded loads something when the page opens, and again when it is asked to. */
export function useLoaded<T>(load: () => Promise<T>, key = ""): readonly [T | null, () => void, Told] {
  const [value, set] = useState<T | null>(null);
  const [told, tell] = useTold();
  const again = (): void => tell(async () => { set(await load()); });
  useEffect(again, [key]);
  return [value, again, told];
}

/** Frame is a page with its head and the ways on that whoever is signed in has. */
export function Frame({ title, children, ways }:
  { readonly title: string; readonly children: ComponentChildren; readonly ways?: boolean }) {
  useEffect(() => { document.title = `${title} – gelwright`; }, [title]);
  return <main class="people">{ways && <Ways />}<h1>{title}</h1>{children}</main>;
}

function Ways() {
  const [me] = useLoaded(() => call<Me>("GET", "/api/me"));
  if (!me) return null;
  const may = (right: string): boolean => me.rights.includes(right);
  return <><nav aria-label={words.account}><a href="/">{words.jobs}</a>
    {may("read jobs") && <a href="/office.html">{words.office}</a>}
    {me.accounts && <a href="/account">{words.account}</a>}
    {may("manage people") && <a href="/people">{words.staff}</a>}
    {may("change jobs") && <a href="/customers">{words.customers}</a>}
    {may("read who did what") && <a href="/deeds">{words.deeds}</a>}
    {me.accounts && <button type="button" class="link" onClick={() => { void post("/api/sign-out").then(() => {
      location.href = "/sign-in"; }); }}>
      {words.signOut}</button>}</nav>
    {me.accounts && <p class="small">{words.signedInAs(me.name, words.roles[me.role as keyof typeof words.roles] ?? me.role)}</p>}</>;
}

/** Once shows a secret that is told once, and copies it. */
export function Once({ about, secret }: { readonly about: string; readonly secret: string }) {
  const [copied, set] = useState(false);
  return <div class="told" role="status"><p>{about}</p><code>{secret}</code><p class="small">{words.once}</p>
    <button type="button" class="act" onClick={() => { void navigator.clipboard.writeText(secret).then(() => set(true)); }}>
      {words.copy}</button> {copied && <span>{words.copied}</span>}</div>;
}

/** PasswordField is a field for a password, which may be pasted and looked at. ASVS 6.2.6, 6.2.7. */
export function PasswordField({ label, name, use, about }: { readonly label: string; readonly name: string; readonly about?: string;
  readonly use: "current-password" | "new-password" }) {
  const [seen, see] = useState(false);
  return <><label><span>{label}</span>{about && <small>{about}</small>}
    {seen ? <input name={name} type="text" autocomplete={use} spellcheck={false} required />
      : <input name={name} type="password" autocomplete={use} required />}</label>
    <label class="yes-no"><input type="checkbox" checked={seen} onChange={(e) => see(e.currentTarget.checked)} />
      <span>{words.showPassword}</span></label></>;
}

/** valuesOf are what was typed into a form. */
export function valuesOf(e: Event): (name: string) => string {
  e.preventDefault();
  const data = new FormData(e.currentTarget as HTMLFormElement);
  return (name) => String(data.get(name) ?? "");
}

/** RoleChoice chooses a role. */
export function RoleChoice({ name, value, most, onChange, label }: { readonly name?: string; readonly value: string; readonly label: string;
  readonly most?: string; readonly onChange?: (role: string) => void }) {
  const all = Object.keys(words.roles) as (keyof typeof words.roles)[];
  const from = all.indexOf((most ?? "owner") as keyof typeof words.roles);
  return <select name={name} aria-label={label} value={value} onChange={(e) => onChange?.(e.currentTarget.value)}>
    {all.slice(from).map((r) => <option key={r} value={r}>{words.roles[r]}</option>)}</select>;
}

/** inDays is a day to come, as a field for dates has it. */
export const inDays = (n: number): string => new Date(Date.now() + n * 86_400_000).toISOString().slice(0, 10);

/** endOf is the end of a day that a field for dates names. */
export const endOf = (date: string): string => new Date(`${date}T23:59:59`).toISOString();
