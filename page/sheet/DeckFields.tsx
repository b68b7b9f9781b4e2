// The fields of a deck of the list, and of its fall.

import { attempt, dropTape, moveFallLine, removeDeck, setDeck, setExit, setFall, setRatio, turnFall, type Made } from "../model/commands";
import type { Deck, Doc, Id, Json } from "../model/doc";
import { arrowsOf, fallKinds, kindOf, lineOf, wayOf, wayWritten, type Arrow, type FallKind } from "../model/falls";
import { deckName } from "../model/find";
import { along, bends, pointOf, turned, type Point } from "../model/geometry";
import { numberAt } from "../model/json";
import { isTaped } from "../model/outline";
import type { Refused } from "../model/why";
import type { Acting } from "./EdgeList";
import { LengthField, NumberField, SelectField, TextField } from "./Field";
import { useSpeech, type Saying } from "./speech";

export interface DeckFieldsProps {
  readonly doc: Doc;
  readonly deck: Deck;
  readonly acting: Acting;
  readonly take: (m: Made | Refused) => void;
  readonly onTape?: (deck: Id) => void;
  readonly shown?: readonly Point[] | undefined;
}

export function DeckFields({ doc, deck, acting, take, onTape, shown }: DeckFieldsProps) {
  const say = useSpeech(), list = say.words.list, exit = pointOf(deck.fields["exit"]);
  const set = (path: readonly string[], value: Json | undefined): void => acting(setDeck, { deck: deck.id, path, value });
  const base = (field: string): number | undefined => numberAt(deck.fields, ["base", field]);
  const leave = (x: number, y: number): void => acting(setExit, { deck: deck.id, at: { x, y } });
  return <>
    <TextField label={list.name} value={deckName(doc, deck)} onText={(t) => set(["name"], t)} />
    <LengthField label={list.level} value={numberAt(deck.fields, ["level_m"]) ?? null} onLength={(m) => set(["level_m"], m)} />
    <fieldset class="pair"><legend>{list.joists}</legend>
      <SelectField label={list.joistWay} value={joistWay(base("joist_bearing_deg"))} options={[...(base("joist_bearing_deg") === undefined
        ? [["", list.toNone] as const] : []),
        ["0", list.joistsAcross], ["90", list.joistsUp], ...(joistWay(base("joist_bearing_deg")) === "other"
          ? [["other", list.joistsOther] as const] : [])]}
        onChoose={(v) => { if (v === "0" || v === "90") set(["base", "joist_bearing_deg"], Number(v)); }} />
      <NumberField label={list.joistBearing} value={base("joist_bearing_deg")} onNumber={(x) => set(["base", "joist_bearing_deg"], x)} />
      <NumberField label={list.joistSpacing} value={base("joist_spacing_mm")} onNumber={(x) => set(["base", "joist_spacing_mm"], x)} />
      <LengthField label={list.joistSpan} value={base("joist_span_m") ?? null} onLength={(x) => set(["base", "joist_span_m"], x)} />
    </fieldset>
    {exit && <fieldset class="pair"><legend>{list.exit}</legend>
      <LengthField label={list.x} value={exit.x} onLength={(x) => leave(x, exit.y)} />
      <LengthField label={list.y} value={exit.y} onLength={(y) => leave(exit.x, y)} />
    </fieldset>}
    <div class="acts">
      {!exit && deck.corners.length > 0 && <button type="button" onClick={() => acting(setExit, { deck: deck.id,
        at: along(bends(deck.corners)[0]!, 0.5) })}>{list.setExit}</button>}
      {exit && <button type="button" onClick={() => acting(setExit, { deck: deck.id, at: null })}>{list.noExit}</button>}
      {isTaped(deck) && <button type="button" onClick={() => take(attempt(doc, dropTape, { deck: deck.id, ...(shown ? { shown }
        : {}) }))}>{list.dropTape}</button>}
      {isTaped(deck) && onTape && <button type="button" onClick={() => onTape(deck.id)}>{list.tapeAgain}</button>}
      <button type="button" onClick={() => acting(removeDeck, { deck: deck.id })}>{list.remove}</button>
    </div>
  </>;
}

/** joistWay is the direction of joists as the list offers it. */
const joistWay = (deg: number | undefined): "" | "0" | "90" | "other" => (deg === undefined ? "" : deg === 0 ? "0" : deg === 90 ? "90"
  : "other");

/** fallName and fallRatios are the line of the list for a deck's fall. */
export function fallName(say: Saying, deck: Deck): string {
  const kind = kindOf(deck), arrows = arrowsOf(deck);
  if (kind === null || (kind === "one way" && arrows.length === 0)) return say.words.falls.none;
  return [say.words.falls[kind], ...arrows.map((a) => wayName(say, a))].join(", ");
}

export const fallRatios = (say: Saying, deck: Deck): string =>
  [...new Set(arrowsOf(deck).map((a) => say.words.falls.ratio(a.ratio)))].join(", ");

function wayName(say: Saying, a: Arrow): string {
  const words: { readonly [way: string]: string } = say.words.compass, written = wayWritten(a.towards);
  return typeof written === "string" ? (words[written] ?? written) : `${degrees(a.towards)}°`;
}

const degrees = (p: Point): number => Math.round((Math.atan2(p.y, p.x) * 1800) / Math.PI) / 10;

export function FallFields({ deck, acting }: { readonly deck: Deck; readonly acting: Acting }) {
  const say = useSpeech(), list = say.words.list, kind = kindOf(deck), line = lineOf(deck);
  const arrows = arrowsOf(deck), unsaid: Arrow = { plane: "only", towards: { x: 0, y: 0 }, ratio: numberAt(deck.fields, ["fall", "ratio"])
    ?? null, at: { x: 0, y: 0 } };
  const moved = (end: 0 | 1, to: Point): void => acting(moveFallLine, { deck: deck.id, end, to });
  return <>
    <SelectField<FallKind | ""> label={list.fallKind} value={kind ?? ""} options={[...(kind === null ? [["", say.words.falls.none] as const]
      : []), ...fallKinds.map((k) => [k, say.words.falls[k]] as const)]}
      onChoose={(k) => k !== "" && acting(setFall, { deck: deck.id, kind: k })} />
    {kind !== "level" && kind !== "to point" && (arrows.length > 0 ? arrows : [unsaid]).map((a) => <PlaneFields key={a.plane} deck={deck}
      arrow={a} acting={acting} />)}
    {kind === "to point" && <NumberField label={list.ratio} value={unsaid.ratio ?? undefined} onNumber={(x) => x !== undefined
      && acting(setRatio, { deck: deck.id, plane: "only", ratio: x })} />}
    {line && ([0, 1] as const).map((i) => <fieldset key={i} class="pair"><legend>{list.lineEnd(i + 1)}</legend>
      <LengthField label={list.x} value={line[i].x} onLength={(x) => moved(i, { x, y: line[i].y })} />
      <LengthField label={list.y} value={line[i].y} onLength={(y) => moved(i, { x: line[i].x, y })} />
    </fieldset>)}
  </>;
}

function PlaneFields({ deck, arrow: a, acting }: { readonly deck: Deck; readonly arrow: Arrow; readonly acting: Acting }) {
  const say = useSpeech(), list = say.words.list, known = a.towards.x !== 0 || a.towards.y !== 0, written = known ? wayWritten(a.towards)
    : "";
  const turn = (towards: Point): void => acting(turnFall, { deck: deck.id, plane: a.plane, towards });
  const words = Object.entries(say.words.compass);
  return <fieldset class="pair"><legend>{list.plane(a.plane)}</legend>
    <SelectField label={list.towards} value={typeof written === "string" ? written : "other"}
      options={[...(known ? [] : [["", list.toNone] as const]), ...words, ...(typeof written === "string" ? []
        : [["other", `${degrees(a.towards)}°`] as const])]}
      onChoose={(v) => { const way = wayOf(v); if (way) turn(way); }} />
    {known && <NumberField label={list.degrees} value={degrees(a.towards)} onNumber={(x) => x !== undefined && turn(turned({ x: 1, y: 0 },
      x))} />}
    <NumberField label={list.ratio} value={a.ratio ?? undefined} onNumber={(x) => x !== undefined && acting(setRatio, { deck: deck.id,
      plane: a.plane, ratio: x })} />
  </fieldset>;
}
