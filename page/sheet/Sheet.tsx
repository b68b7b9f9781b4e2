// The sheet: the roof as a drawing that can be taken hold of. It shows a document and says what
// was meant by a gesture; it changes nothing itself. From the drawing nothing is read back but the
// id that was hit.

import { signal, type Signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect, useMemo, useRef } from "preact/hooks";
import { choose, neighbour } from "../model/choice";
import { addCorner, attempt, nudge, remove, type Made } from "../model/commands";
import type { Doc, Id } from "../model/doc";
import { find, freshIds } from "../model/find";
import { along, bends, distance, minus, tidy, unit, type Point } from "../model/geometry";
import type { Act } from "../model/history";
import { numberAt } from "../model/json";
import { coarse, fine, snap, type Guide } from "../model/snap";
import type { Refused, Why } from "../model/why";
import { DeckDrawing, DeckGround, rowId } from "./DeckDrawing";
import { Draft } from "./Draft";
import { dragged, hitOf, type Hit } from "./gesture";
import { Guides, sayGuides } from "./Guides";
import { BarScale, North } from "./marks";
import { dropped, outlined, scaledBy, tapsOf, type Mode, type Underlay } from "./mode";
import { pinched, slack, type Fingers } from "./pointers";
import { ScaleForm } from "./ScaleForm";
import { useSpeech } from "./speech";
import { useHint } from "./Tools";
import { extent, fit, gridStep, inMetres, matrix, onSheet, panned, zoomed, type View } from "./view";

/**
 * Layer is drawn with the roof: children in metres, y up; or a function that is given the view and draws in pixels of the sheet. What
 * answers a tap itself bears data-own.
 */
export type Layer = ComponentChildren | ((view: View) => ComponentChildren);

export interface SheetProps {
  /** The document that acts are made on. */
  readonly doc: Doc;
  /**
   * The document as it is drawn while nothing is dragged, where that differs: a taped deck with the corners of the engine's survey
   * (withOutline).
   */
  readonly shown?: Doc;
  /** What is chosen: see model/choice. */
  readonly chosen: Id | null;
  readonly onChoose: (chosen: Id | null) => void;
  readonly onAct: (act: Act) => void;
  readonly layers?: { readonly under?: Layer; readonly over?: Layer };
  readonly light?: "light" | "dark" | "bright";
  /** What a tap does; left out, things are moved. */
  readonly mode?: Mode;
  readonly onMode?: (mode: Mode) => void;
  readonly underlay?: Underlay | null;
  readonly onUnderlay?: (u: Underlay) => void;
  /** The document as it would be while something is dragged, and null when that ends. */
  readonly onLive?: (doc: Doc | null) => void;
  /** Heights of corners above the lowest point of their deck, mm, by the corners' ids. */
  readonly heights?: ReadonlyMap<Id, number>;
  /** Nothing can be taken hold of, only looked at and chosen. */
  readonly still?: boolean;
}

/** State of one sheet that is nobody else's: how it is looked at, and the gesture under way. */
interface State {
  readonly size: Signal<Point>;
  /** Null shows the whole roof. */
  readonly view: Signal<View | null>;
  readonly live: Signal<Live | null>;
  readonly taps: Signal<readonly Point[]>;
  readonly pointer: Signal<{ readonly at: Point; readonly guides: readonly Guide[] } | null>;
  readonly refused: Signal<Why | null>;
  /** A length typed for the next edge of an outline that is being drawn. */
  readonly typed: Signal<string>;
}

/** Live is a drag under way: the last act that was allowed, and what it was drawn to. */
interface Live {
  readonly made: Made | null;
  readonly guides: readonly Guide[];
}

/** Down is the finger that may become a drag. */
interface Down {
  readonly id: number;
  readonly from: Point;
  readonly hit: Hit | null;
  readonly touch: boolean;
  dragging: "no" | "drag" | "pan";
}

/** margin for names and dimensions round the roof, pixels. */
const margin = 84;

export function Sheet(props: SheetProps) {
  const { doc, chosen } = props, say = useSpeech(), mode: Mode = props.mode ?? { does: "edit" };
  const s = useMemo((): State => ({ size: signal({ x: 0, y: 0 }), view: signal(null), live: signal(null), taps: signal([]),
    pointer: signal(null), refused: signal(null), typed: signal("") }), []);
  const svg = useRef<SVGSVGElement>(null), hands = useRef({ fingers: new Map<number, Point>() as Fingers, down: null as Down | null,
    frame: 0, frameJob: null as (() => void) | null });
  const size = s.size.value, whole = useMemo(() => fit(extent(doc, props.underlay), size.x || 800, size.y || 600, margin),
    [doc, size, props.underlay]), view = s.view.value ?? whole;
  const latest = useRef({ props, view, mode });
  latest.current = { props, view, mode };
  useEffect(() => watchSize(svg.current!, s.size), []);
  useEffect(() => {
    s.taps.value = [];
    s.pointer.value = null;
    s.typed.value = "";
  }, [mode.does, mode.does === "drop" ? mode.what : ""]);

  const point = (e: { readonly clientX: number; readonly clientY: number }): Point => {
    const box = svg.current!.getBoundingClientRect();
    return { x: e.clientX - box.left, y: e.clientY - box.top };
  };
  const how = (e: { readonly shiftKey: boolean; readonly ctrlKey: boolean }, touch: boolean) =>
    ({ reach: (touch ? 16 : 9) / latest.current.view.scale, step: e.shiftKey || e.ctrlKey ? fine : coarse });
  const keepView = (): void => void (s.view.value ??= latest.current.view);
  const commit = (made: Made | Refused | null): void => {
    s.refused.value = made && "why" in made ? made.why : null;
    if (made && !("why" in made) && made.act.changes.length > 0) latest.current.props.onAct(made.act);
  };
  const stop = (): void => {
    cancelAnimationFrame(hands.current.frame);
    hands.current.frame = 0;
    hands.current.down = null;
    if (s.live.value) latest.current.props.onLive?.(null);
    s.live.value = null;
    s.refused.value = null;
  };
  /** nextFrame keeps the last of the moves of one frame. */
  const nextFrame = (job: () => void): void => {
    const h = hands.current;
    h.frameJob = job;
    h.frame ||= requestAnimationFrame(() => {
      h.frame = 0;
      h.frameJob?.();
    });
  };

  const place = (p: Point, e: PointerEvent): { readonly at: Point; readonly guides: readonly Guide[] } => {
    const taps = s.taps.value, { props: now, mode: m } = latest.current;
    if (m.does === "scale") return { at: p, guides: [] };
    const anchors = m.does === "draw" ? [taps.at(-1), taps.length > 1 ? taps[0] : undefined].filter((x) => x !== undefined) : [];
    return snap(now.doc, p, { ...how(e, e.pointerType === "touch"), anchors });
  };
  const tap = (at: Point): void => {
    const { mode: m, props: now } = latest.current, taps = s.taps.value, first = taps[0];
    keepView();
    if (m.does === "draw" && taps.length >= 3 && first && distance(first, at) * latest.current.view.scale < 22) return close();
    const all = m.does === "scale" && taps.length >= 2 ? [at] : [...taps, at];
    s.taps.value = all;
    if (m.does !== "drop" || all.length < tapsOf(m)) return;
    const made = dropped(now.doc, m.what, all, (kind) => (say.words.kinds as { readonly [kind: string]: string })[kind] ?? kind);
    s.taps.value = [];
    commit(made);
    if (!("why" in made)) now.onMode?.({ does: "edit" });
  };
  const close = (): void => {
    const { props: now } = latest.current, made = outlined(now.doc, s.taps.value);
    commit(made);
    if ("why" in made) return;
    s.taps.value = [];
    s.pointer.value = null;
    s.view.value = null;
    now.onMode?.({ does: "edit" });
  };

  const onDown = (e: PointerEvent): void => {
    const target = e.target as Element;
    if (target.closest("[data-own]") || (e.pointerType === "mouse" && e.button > 1)) return;
    svg.current!.setPointerCapture(e.pointerId);
    const h = hands.current, at = point(e);
    h.fingers = new Map(h.fingers).set(e.pointerId, at);
    if (h.fingers.size > 1) return stop();
    const hit = hitOf(target.closest("[data-hit]")?.getAttribute("data-hit")), touch = e.pointerType !== "mouse";
    h.down = { id: e.pointerId, from: at, hit: e.button === 1 ? null : hit, touch, dragging: "no" };
    if (mode.does !== "edit" && touch) s.pointer.value = place(inMetres(view, at), e);
  };
  const onMove = (e: PointerEvent): void => {
    const h = hands.current, at = point(e), before = h.fingers.get(e.pointerId);
    if (!before) {
      if (mode.does !== "edit") nextFrame(() => void (s.pointer.value = place(inMetres(latest.current.view, at), e)));
      return;
    }
    const after = new Map(h.fingers).set(e.pointerId, at);
    if (h.fingers.size > 1) {
      s.view.value = pinched(latest.current.view, h.fingers, after);
      h.fingers = after;
      return;
    }
    h.fingers = after;
    const d = h.down;
    if (!d || (d.dragging === "no" && Math.hypot(at.x - d.from.x, at.y - d.from.y) < (d.touch ? slack.touch : slack.mouse))) return;
    if (mode.does !== "edit" && d.touch) return nextFrame(() => void (s.pointer.value = place(inMetres(latest.current.view, at), e)));
    keepView();
    if (d.dragging === "no") d.dragging = holds(d.hit, latest.current) ? "drag" : "pan";
    if (d.dragging === "pan") s.view.value = panned(latest.current.view, { x: at.x - before.x, y: at.y - before.y });
    else nextFrame(() => drag(d, at, e));
  };
  const drag = (d: Down, at: Point, e: PointerEvent): void => {
    if (hands.current.down !== d || !d.hit) return;
    const v = latest.current.view, r = dragged(latest.current.props.doc, d.hit, inMetres(v, d.from), inMetres(v, at), how(e, d.touch));
    s.refused.value = "why" in r.made ? r.made.why : null;
    s.live.value = "why" in r.made ? { made: s.live.value?.made ?? null, guides: [] } : { made: r.made, guides: r.guides };
    if (!("why" in r.made)) latest.current.props.onLive?.(r.made.doc);
  };
  const onUp = (e: PointerEvent): void => {
    const h = hands.current, d = h.down, rest = new Map(h.fingers);
    rest.delete(e.pointerId);
    h.fingers = rest;
    if (!d || d.id !== e.pointerId) return;
    if (h.frame) {
      cancelAnimationFrame(h.frame);
      h.frameJob?.();
    }
    const made = s.live.value?.made ?? null;
    stop();
    if (d.dragging === "drag") {
      if (made && chosenOf(d.hit) !== props.chosen) props.onChoose(chosenOf(d.hit));
      return commit(made);
    }
    if (d.dragging === "pan") return;
    if (mode.does === "edit") return props.onChoose(chosenOf(d.hit));
    const p = place(inMetres(latest.current.view, point(e)), e);
    s.pointer.value = p;
    tap(p.at);
  };
  const onCancel = (e: PointerEvent): void => {
    const rest = new Map(hands.current.fingers);
    rest.delete(e.pointerId);
    hands.current.fingers = rest;
    stop();
  };
  const onKey = (e: KeyboardEvent): void => {
    if (key(e)) {
      e.preventDefault();
      e.stopPropagation();
    }
  };
  /** key answers whether it was meant for the sheet. */
  const key = (e: KeyboardEvent): boolean => {
    const step = e.shiftKey ? fine : coarse, by = arrows[e.key], middle = { x: size.x / 2, y: size.y / 2 };
    if (e.altKey || e.metaKey || e.ctrlKey) return false;
    if (e.key === "+" || e.key === "=" || e.key === "-") return (s.view.value = zoomed(view, middle, e.key === "-" ? 0.8 : 1.25)), true;
    if (e.key === "Escape") {
      if (hands.current.down || s.taps.value.length > 0) return stop(), (s.taps.value = []), (s.typed.value = ""), true;
      if (mode.does !== "edit") return props.onMode?.({ does: "edit" }), true;
      return chosen !== null && (props.onChoose(null), true);
    }
    if (hands.current.down) return true;
    if (mode.does !== "edit") return draftKey(e, by, step);
    if (e.key === "0") return (s.view.value = null), true;
    if (e.key === "PageDown" || e.key === "PageUp") return props.onChoose(neighbour(doc, chosen, e.key === "PageDown" ? 1 : -1)), true;
    if (by && chosen !== null && !props.still) return commit(nudge(doc, chosen, { x: by.x * step, y: by.y * step })), true;
    if (by) return (s.view.value = panned(view, { x: -by.x * 40, y: by.y * 40 })), true;
    if (chosen === null || props.still) return false;
    if (e.key === "Delete" || e.key === "Backspace") return commit(remove(doc, chosen)), true;
    return e.key === "Insert" && (commit(cornerIn(doc, chosen)), true);
  };
  /** typedKey takes the length of the next edge, in the direction that the pointer shows. */
  const typedKey = (e: KeyboardEvent, at: Point): boolean => {
    const typed = s.typed.value, last = s.taps.value.at(-1), length = say.parse(typed);
    if (mode.does !== "draw" || !last) return false;
    if (/^[0-9.,'"/]$/.test(e.key)) return (s.typed.value = typed + e.key), true;
    if (typed !== "" && e.key === "Backspace") return (s.typed.value = typed.slice(0, -1)), true;
    if (typed === "" || e.key !== "Enter") return false;
    if (length === null || length < 0.01) return true;
    const way = distance(last, at) > 1e-6 ? unit(minus(at, last)) : { x: 1, y: 0 };
    s.typed.value = "";
    const to = { x: tidy(last.x + way.x * length), y: tidy(last.y + way.y * length) };
    tap(to);
    // The next side sets out from here, not from where the pointer showed the way.
    if (s.taps.value.length > 0) s.pointer.value = { at: to, guides: [] };
    return true;
  };
  const draftKey = (e: KeyboardEvent, by: Point | undefined, step: number): boolean => {
    const at = s.pointer.value?.at ?? s.taps.value.at(-1) ?? inMetres(view, { x: size.x / 2, y: size.y / 2 });
    if (typedKey(e, at)) return true;
    if (by) {
      // Only what moves goes to the grid, so that a side keeps its direction.
      s.pointer.value = { at: { x: by.x === 0 ? at.x : round(at.x + by.x * step, step), y: by.y === 0 ? at.y : round(at.y + by.y * step,
        step) }, guides: [] };
      return keepView(), true;
    }
    if (e.key === "Enter" && mode.does === "draw" && s.taps.value.length >= 3 && s.taps.value.some((t) => distance(t,
      at) < 1e-9)) return close(), true;
    if (e.key === "Enter" || e.key === " ") return tap({ x: round(at.x, fine), y: round(at.y, fine) }), true;
    return (e.key === "Backspace" || e.key === "Delete") && ((s.taps.value = s.taps.value.slice(0, -1)), true);
  };
  useEffect(() => {
    const wheel = (e: WheelEvent): void => {
      e.preventDefault();
      const p = point(e);
      s.view.value = zoomed(latest.current.view, p, Math.exp(-e.deltaY * (e.deltaMode === 1 ? 0.05 : 0.0015)));
    };
    // Escape leaves a drag wherever the focus is.
    const escape = (e: KeyboardEvent): void => {
      if (e.key === "Escape" && hands.current.down) stop();
    };
    svg.current!.addEventListener("wheel", wheel, { passive: false });
    addEventListener("keydown", escape);
    return () => removeEventListener("keydown", escape);
  }, []);

  const shown = s.live.value?.made?.doc ?? props.shown ?? doc, u = props.underlay, taps = s.taps.value, bearing = numberAt(doc.fields,
    ["site", "bearing_deg"]) ?? 0;
  const hint = useHint(mode, taps.length), guided = sayGuides(say, s.live.value?.guides ?? s.pointer.value?.guides ?? []);
  const status = s.refused.value ? say.why(s.refused.value) : [s.typed.value === "" ? hint : say.words.tools.typed(s.typed.value),
    guided].filter((x) => x !== "").join(" · ");
  return <div class="sheet" data-light={props.light}>
    <svg ref={svg} class={`sheet-svg ${mode.does}`} tabindex={0} role="group" aria-label={say.words.sheet.roof(doc.decks.length)}
      aria-description={say.words.sheet.keys}
      aria-activedescendant={chosen === null ? undefined : rowId(chosen)} onPointerDown={onDown} onPointerMove={onMove} onPointerUp={onUp}
        onPointerCancel={onCancel}
      onPointerLeave={() => void (hands.current.fingers.size === 0 && (s.pointer.value = null))} onKeyDown={onKey}>
      {u && <image href={u.url} x={onSheet(view, u.at).x} y={onSheet(view, u.at).y - u.height * u.scale * view.scale}
        width={u.width * u.scale * view.scale}
        height={u.height * u.scale * view.scale} preserveAspectRatio="none" class="underlay" />}
      <Grid view={view} size={size} />
      <LayerOf layer={props.layers?.under} view={view} />
      {shown.decks.map((d) => <DeckGround key={d.id} doc={shown} deck={d} view={view} chosen={chosen} />)}
      {shown.decks.map((d) => <DeckDrawing key={d.id} doc={shown} deck={d} view={view} chosen={chosen} {...(props.heights
        ? { heights: props.heights } : {})} />)}
      <LayerOf layer={props.layers?.over} view={view} />
      <Guides view={view} guides={s.live.value?.guides ?? s.pointer.value?.guides ?? []} />
      {mode.does !== "edit" && <Draft view={view} taps={taps} pointer={s.pointer.value?.at ?? null} closes={mode.does === "draw"} />}
      <BarScale view={view} x={28} y={size.y - 16} most={Math.max(60, size.x / 5)} />
      <North x={size.x - 26} y={34} bearing={bearing} />
    </svg>
    <p class={s.refused.value ? "sheet-status refused" : "sheet-status"} role="status">{status}</p>
    <div class="sheet-zoom" role="group" aria-label={say.words.tools.fit}>
      <button type="button" aria-label={say.words.tools.zoomIn} onClick={() => void (s.view.value = zoomed(view, { x: size.x / 2,
        y: size.y / 2 }, 1.25))}>+</button>
      <button type="button" aria-label={say.words.tools.zoomOut} onClick={() => void (s.view.value = zoomed(view, { x: size.x / 2,
        y: size.y / 2 }, 0.8))}>−</button>
      <button type="button" aria-label={say.words.tools.fit} onClick={() => void (s.view.value = null)}><svg viewBox="0 0 20 20"
        aria-hidden="true"><path class="tick" d="M2,7V2H7M13,2H18V7M18,13V18H13M7,18H2V13" /></svg></button>
    </div>
    {mode.does === "scale" && u && taps.length >= 2 && <ScaleForm onLeave={() => void (s.taps.value = [])} onLength={(m) => {
      props.onUnderlay?.(scaledBy(u, taps[0]!, taps[1]!, m));
      s.taps.value = [];
      s.view.value = null;
      props.onMode?.({ does: "edit" });
    }} />}
    {mode.does === "draw" && taps.length > 0 && <div class="sheet-draft">
      <button type="button" onClick={() => void (s.taps.value = taps.slice(0, -1))}>{say.words.tools.back}</button>
      {taps.length >= 3 && <button type="button" class="act" onClick={close}>{say.words.tools.close}</button>}
    </div>}
  </div>;
}

const arrows: { readonly [key: string]: Point } = { ArrowLeft: { x: -1, y: 0 }, ArrowRight: { x: 1, y: 0 }, ArrowUp: { x: 0, y: 1 },
  ArrowDown: { x: 0, y: -1 } };

const round = (m: number, step: number): number => Math.round(Math.round(m / step) * step * 1e4) / 1e4;

/**
 * holds tells whether a drag takes hold of what was hit; a whole deck only once it is chosen, so that a finger beside an edge moves the
 * sheet.
 */
function holds(hit: Hit | null, now: { readonly props: SheetProps; readonly mode: Mode }): boolean {
  if (!hit || now.mode.does !== "edit" || now.props.still) return false;
  return hit.kind !== "deck" || now.props.chosen === hit.id;
}

/** chosenOf is what a tap on a hit chooses. */
function chosenOf(hit: Hit | null): Id | null {
  if (!hit) return null;
  if (hit.kind === "corner") return choose(hit.id, "corner");
  if (hit.kind === "fall" || hit.kind === "line" || hit.kind === "point") return choose(hit.id, "fall");
  return hit.kind === "exit" ? choose(hit.id, "exit") : hit.id;
}

/** cornerIn puts a corner in the middle of an edge. */
function cornerIn(doc: Doc, chosen: Id): Made | Refused | null {
  const f = find(doc, chosen.split("@")[0]!);
  if (f?.what !== "corner") return null;
  return attempt(doc, addCorner, { corner: f.corner.id, at: along(bends(f.deck.corners)[f.at]!, 0.5), id: freshIds() });
}

function watchSize(svg: SVGSVGElement, size: Signal<Point>): () => void {
  const read = (): void => {
    const box = svg.getBoundingClientRect();
    if (box.width !== size.value.x || box.height !== size.value.y) size.value = { x: box.width, y: box.height };
  };
  read();
  const watch = new ResizeObserver(read);
  watch.observe(svg);
  return () => watch.disconnect();
}

function LayerOf({ layer, view }: { readonly layer: Layer | undefined; readonly view: View }) {
  if (layer === undefined || layer === null) return null;
  return typeof layer === "function" ? <g>{layer(view)}</g> : <g transform={matrix(view)}>{layer}</g>;
}

function Grid({ view, size }: { readonly view: View; readonly size: Point }) {
  const step = gridStep(view.scale), low = inMetres(view, { x: 0, y: size.y }), high = inMetres(view, { x: size.x, y: 0 });
  let fineLines = "", heavy = "";
  const line = (i: number, d: string): void => void (i % (step < 0.5 || step === 5 ? 10 : step === 0.5 ? 2 : 5) === 0 ? (heavy += d)
    : (fineLines += d));
  for (let i = Math.ceil(low.x / step); i * step <= high.x; i++) line(i, `M${(view.x0 + i * step * view.scale).toFixed(1)},0V${size.y}`);
  for (let i = Math.ceil(low.y / step); i * step <= high.y; i++) line(i, `M0,${(view.y0 - i * step * view.scale).toFixed(1)}H${size.x}`);
  return <g aria-hidden="true"><path class="grid" d={fineLines} /><path class="grid heavy" d={heavy} /></g>;
}
