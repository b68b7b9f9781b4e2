// Somebody else has kept the job meanwhile: what differs, and whose change is taken where both changed the same.

import { signal } from "@preact/signals";
import type { Doc, Json } from "../model/doc";
import { deckName, find } from "../model/find";
import { isFields, isList } from "../model/json";
import type { Choices, Difference, Side } from "../session/office";
import type { Session } from "../session/session";
import { margin as words } from "../words/spoken";

const chosen = signal<{ readonly choices: Choices; readonly failed: string }>({ choices: {}, failed: "" });

/** Joining stands in the margin while what was done here is not kept because of what was done elsewhere. */
export function Joining({ session }: { session: Session }) {
  const d = session.differing.value;
  if (!d) return null;
  const now = chosen.value, of = (key: string): Side | undefined => now.choices[key];
  const open = d.differences.filter((x) => x.clash && of(x.key) === undefined).length;
  const choose = (key: string, side: Side): void => { chosen.value = { choices: { ...now.choices, [key]: side }, failed: "" }; };
  const join = (): void => {
    d.join(now.choices).then(() => { chosen.value = { choices: {}, failed: "" }; },
      (why: unknown) => { chosen.value = { ...now, failed: why instanceof Error ? why.message : String(why) }; });
  };
  return (
    <section class="asking" role="alert" aria-label={words.joining.head}>
      <h2>{words.joining.head}</h2>
      <p>{words.joining.lead}</p>
      {d.differences.map((x) => <One key={x.key} x={x} side={of(x.key)} doc={session.doc.value}
        onChoose={(side) => choose(x.key, side)} />)}
      {now.failed && <p class="stop">{now.failed}</p>}
      <div class="acts"><button type="button" class="act" disabled={open > 0} onClick={join}>
        {open > 0 ? words.joining.choose(open) : words.joining.join}</button></div>
    </section>
  );
}

/** One is what differs at one place; a choice of two where both changed it. */
function One({ x, side, doc, onChoose }: { x: Difference; side: Side | undefined; doc: Doc; onChoose: (side: Side) => void }) {
  const where = [placeOf(doc, x), fieldOf(x)].filter((t) => t !== "").join(": ");
  if (!x.clash) {
    return <p class="small"><b>{where}</b> {words.joining[x.taken === "mine" ? "here" : "there"]}: {told(x[x.taken])}</p>;
  }
  return (
    <fieldset><legend>{where}</legend>
      <p class="small">{words.joining.before}: {told(x.before)}</p>
      <div class="acts">{(["mine", "theirs"] as const).map((s) => <button key={s} type="button" class="act" aria-pressed={side === s}
        onClick={() => onChoose(s)}>{words.joining[s === "mine" ? "here" : "there"]}: {told(x[s])}</button>)}</div>
    </fieldset>
  );
}

/** placeOf is the part of the roof by its ids, where it is here; as the server names it where it is not. */
function placeOf(doc: Doc, x: Difference): string {
  const ids = x.key.split("/"), names: string[] = [];
  for (let i = 1; i + 1 < ids.length; i += 2) {
    const f = find(doc, ids[i + 1]!);
    if (!f) break;
    if (f.what === "deck") names.push(words.joining.deck(deckName(doc, f.deck)));
    else if (f.what === "corner") names.push(words.joining.edge(f.deck.corners.indexOf(f.corner) + 1));
    else names.push(words.joining.piece);
  }
  return names.length > 0 ? names.join(", ") : x.where;
}

/** fieldOf is the field in the words of the roof file. */
const fieldOf = (x: Difference): string => (x.field === "place" ? words.joining.corner : x.field.replace(/^edge\./, "").replaceAll(/[._]/g,
  " "));

/** told is a value of the roof file as a person reads it. */
function told(v: Json | undefined): string {
  if (v === undefined) return words.joining.nothing;
  if (isList(v)) return v.map(told).join(" · ");
  if (isFields(v)) return Object.entries(v).map(([name, value]) => `${name.replaceAll("_", " ")} ${told(value)}`).join(", ");
  return String(v);
}
