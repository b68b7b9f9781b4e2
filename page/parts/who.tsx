// The way to the office, and who is signed in with the ways to the pages of accounts; nothing where no server answers.

import { useEffect, useState } from "preact/hooks";
import { people as words } from "../words/spoken";

interface Me { readonly accounts: boolean; readonly name: string; readonly role: string; readonly rights: readonly string[] }

/** Who stands at the end of the first page. */
export function Who() {
  const [me, know] = useState<Me | null>(null);
  useEffect(() => {
    void fetch("/api/me").then((answer) => answer.ok ? answer.json() as Promise<Me> : null).then(know).catch(() => know(null));
  }, []);
  if (me === null) return null;
  const may = (right: string): boolean => me.rights.includes(right), office = <a href="/office.html">{words.office}</a>;
  if (!me.accounts) return <p class="acts">{office}</p>;
  return <p class="acts">{office}
    <span class="small">{words.signedInAs(me.name, words.roles[me.role as keyof typeof words.roles] ?? me.role)}</span>
    <a href="/account">{words.account}</a>{may("manage people") && <a href="/people">{words.staff}</a>}
    {may("change jobs") && <a href="/customers">{words.customers}</a>}{may("read who did what") && <a href="/deeds">{words.deeds}</a>}</p>;
}
