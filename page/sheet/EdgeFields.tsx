// The fields of one edge of the list.

import { useSignal } from "@preact/signals";
import { addCorner, bendEdge, moveCorner, moveEdge, removeCorner, setEdge, setLength } from "../model/commands";
import type { Deck, Doc, Json } from "../model/doc";
import { deckName, freshIds } from "../model/find";
import { along, bends, distance } from "../model/geometry";
import { numberAt, textAt } from "../model/json";
import { isTaped } from "../model/outline";
import type { Acting } from "./EdgeList";
import { CheckField, LengthField, NumberField, SelectField, TextField } from "./Field";
import { conditionOf } from "./marks";
import { rove } from "./roving";
import { SectionPicture } from "./sections";
import { useSpeech } from "./speech";

/** Which fields an edge of a condition has, beside what all have. */
const upstands = ["wall", "parapet", "tuck", "step up"];
const raised = [...upstands, "kerb", "verge"];
const topped = ["kerb", "parapet"];
const linked = ["step up", "step down", "box gutter", "joins"];

export function EdgeFields({ doc, deck, at, acting }: { readonly doc: Doc; readonly deck: Deck; readonly at: number;
  readonly acting: Acting }) {
  const say = useSpeech(), list = say.words.list, c = deck.corners[at]!, e = bends(deck.corners)[at]!, chord = distance(e.a, e.b),
    moves = useSignal<"end" | "start">("end");
  const condition = conditionOf(c.edge), is = (which: readonly string[]): boolean => condition !== null && which.includes(condition),
    taped = isTaped(deck);
  const set = (field: string, value: Json | undefined): void => acting(setEdge, { corner: c.id, field, value });
  const mm = (field: string, label: string) => <NumberField label={label} value={numberAt(c.edge, [field])} onNumber={(x) => set(field,
    x)} />;
  const others = doc.decks.filter((d) => d !== deck).map((d) => deckName(doc, d)), to = textAt(c.edge, ["to"]) ?? "";
  return <>
    <Conditions value={condition} onChoose={(v) => set("condition", v)} label={list.meets} />
    <LengthField label={e.bulge === 0 ? list.length : list.chord} value={chord} onLength={(m) => acting(setLength, { corner: c.id,
      length: m, moves: moves.value })} />
    {!taped && <SelectField label={list.moves} value={moves.value} options={[["end", list.movesEnd], ["start", list.movesStart]]}
      onChoose={(v) => void (moves.value = v)} />}
    {!taped && <LengthField label={list.rise} value={(e.bulge * chord) / 2} onLength={(m) => acting(bendEdge, { corner: c.id,
      rise: m })} />}
    {is(raised) && mm("height_mm", list.height)}
    {is(topped) && mm("width_mm", list.width)}
    {is(upstands) && mm("limit_mm", list.limit)}
    {is(["wall"]) && <SelectField label={list.tray} value={textAt(c.edge, ["cavity_tray"]) ?? ""} options={[["", list.trayUnknown],
      ["yes", list.yes], ["no", list.no]]}
      onChoose={(v) => set("cavity_tray", v === "" ? undefined : v)} />}
    {is(linked) && <SelectField label={list.to} value={to} options={[["", list.toNone], ...others.map((n) => [n, n] as const)]}
      onChoose={(v) => set("to", v === "" ? undefined : v)} />}
    {is(["wall", "parapet"]) && <CheckField label={list.shared} value={c.edge["shared"] === true} onChange={(v) => set("shared", v ? true
      : undefined)} />}
    <TextField label={list.note} value={textAt(c.edge, ["note"]) ?? ""} onText={(t) => set("note", t === "" ? undefined : t)} wide />
    {!taped && <fieldset class="pair"><legend>{list.cornerAt}</legend>
      <LengthField label={list.x} value={c.x} onLength={(x) => acting(moveCorner, { corner: c.id, to: { x, y: c.y } })} />
      <LengthField label={list.y} value={c.y} onLength={(y) => acting(moveCorner, { corner: c.id, to: { x: c.x, y } })} />
    </fieldset>}
    {!taped && <div class="acts">
      <button type="button" onClick={() => acting(moveEdge, { corner: c.id, by: 0.05 })}>{list.moveOut}</button>
      <button type="button" onClick={() => acting(moveEdge, { corner: c.id, by: -0.05 })}>{list.moveIn}</button>
      <button type="button" onClick={() => acting(addCorner, { corner: c.id, at: along(e, 0.5), id: freshIds() })}>{list.addCorner}</button>
      <button type="button" onClick={() => acting(removeCorner, { corner: c.id })}>{list.removeCorner}</button>
    </div>}
  </>;
}

/** Conditions is a choice of one, by picture and word; the arrows choose. */
export function Conditions({ value, onChoose, label }: { readonly value: string | null; readonly onChoose: (v: string) => void;
  readonly label: string }) {
  const say = useSpeech(), all = Object.entries(say.words.conditions);
  return <div class="conditions" role="radiogroup" aria-label={label} onKeyDown={(e) => rove(e, "button")}>
    {all.map(([key, w], i) => <button key={key} type="button" role="radio" aria-checked={key === value} tabIndex={key === value
      || (value === null && i === 0) ? 0 : -1} title={w.means}
      onClick={() => onChoose(key)}><SectionPicture condition={key} /><span>{w.name}</span></button>)}
  </div>;
}
