// The way to the office, and who is signed in with the ways to the pages of accounts; nothing where no server answers.

import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { people as words } from "../words/spoken";

interface Me { readonly accounts: boolean; readonly name: string; readonly role: string; readonly rights: readonly string[] }

/** me is who asks, as the server says it; null while it is not known, and where no server answers. */
const me = signal<Me | null>(null);

/** mayBegin reports whether whoever asks may begin jobs; while it is not known the server decides. */
export const mayBegin = (): boolean => me.value === null || me.value.rights.includes("change jobs");

/** Who stands at the end of the first page. */
export function Who() {
  useEffect(() => {
    void fetch("/api/me").then((answer) => answer.ok ? answer.json() as Promise<Me> : null).then((known) => { me.value = known; })
      .catch(() => { me.value = null; });
  }, []);
  const who = me.value;
  if (who === null) return null;
  const may = (right: string): boolean => who.rights.includes(right), office = <a href="/office.html">{words.office}</a>;
  if (!who.accounts) return <p class="acts">{office}</p>;
  return <p class="acts">{office}
    <span class="small">{words.signedInAs(who.name, words.roles[who.role as keyof typeof words.roles] ?? who.role)}</span>
    <a href="/account">{words.account}</a>{may("manage people") && <a href="/people">{words.staff}</a>}
    {may("change jobs") && <a href="/customers">{words.customers}</a>}{may("read who did what") && <a href="/deeds">{words.deeds}</a>}</p>;
}
