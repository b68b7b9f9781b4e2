// Weeks as blocks, crews as rows, days as columns. A roof is carried to another day by hand or by keys, and how sure it is there
// stands beside it before it is put down.

import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { office as words } from "../words/office";
import { server, type Calendar, type Row, type Stand } from "./calls";
import { askAgain, chanceWords, standingOf } from "./chance";
import { dayWords, hashOf, refuse, say, shiftDate, weekOf, write } from "./state";

const weeksShown = 3;
const calendar = signal<Calendar | null>(null);

/** Cell is a place of the calendar. */
interface Cell { readonly crew: string; readonly date: string }

/** carried is the roof that is being carried, and where it is over; told is how sure it is there. */
const carried = signal<{ readonly stand: Stand; readonly from: Cell; readonly over: Cell; readonly byKeys: boolean } | null>(null);
const told = signal<{ readonly text: string; readonly sure: boolean | null }>({ text: "", sure: null });

async function load(week: string): Promise<void> {
  try {
    calendar.value = await server.calendar(week, weeksShown);
  } catch (why) {
    refuse(why);
  }
}

const rowOf = (crew: string): Row | undefined => calendar.value?.rows.find((r) => r.crew === crew);
const nameOf = (r: Row | undefined): string => (r && r.crew !== "" ? `${r.mark} ${r.name}` : words.calendar.nobody);

/** over carries the roof over a cell and asks how sure it is there. */
function over(cell: Cell): void {
  const c = carried.value;
  if (!c || (c.over.crew === cell.crew && c.over.date === cell.date && told.value.text !== "")) return;
  carried.value = { ...c, over: cell };
  const where = words.calendar.over(dayWords(cell.date), nameOf(rowOf(cell.crew)));
  told.value = { text: `${where}. ${words.chance.asking}`, sure: null };
  standingOf(c.stand.job, rowOf(cell.crew)?.people ?? 0).then((s) => {
    const now = carried.value;
    if (!now || now.over.crew !== cell.crew || now.over.date !== cell.date) return;
    const x = chanceWords(s, cell.date);
    told.value = { text: `${where}. ${x.text}`, sure: x.sure };
  }, (why: unknown) => { told.value = { text: `${where}. ${why instanceof Error ? why.message : String(why)}`, sure: null }; });
}

function take(stand: Stand, from: Cell, byKeys: boolean): void {
  askAgain();
  carried.value = { stand, from, over: from, byKeys };
  told.value = { text: "", sure: null };
  if (byKeys) say(words.calendar.taken(stand.title));
  over(from);
}

function leave(): void {
  if (carried.value) say(words.calendar.left);
  carried.value = null;
}

/** putDown moves the roof's day to where it is over: the one act of hand and keys. */
async function putDown(week: string): Promise<void> {
  const c = carried.value;
  carried.value = null;
  if (!c) return;
  if (c.over.crew === c.from.crew && c.over.date === c.from.date) {
    say(words.calendar.left);
    return;
  }
  try {
    const was = await server.one("days", c.stand.id);
    const what = words.calendar.moved(c.stand.title, dayWords(c.over.date), nameOf(rowOf(c.over.crew)));
    const after = (): void => { void load(week); };
    // It is based on what was seen: what somebody else changed meanwhile is shown, not written over.
    const kept = await write("days", { ...was, version: c.stand.version }, what,
      { ...was.sheet, crew: c.over.crew, date: c.over.date }, after);
    await load(week);
    if (kept) say(what);
    if (c.byKeys) requestAnimationFrame(() => document.querySelector<HTMLElement>(`[data-day="${c.stand.id}"]`)?.focus());
  } catch (why) {
    refuse(why);
  }
}

/** CalendarView is the calendar of all roofs and crews. */
export function CalendarView({ week }: { week: string }) {
  const root = useRef<HTMLElement>(null);
  useEffect(() => { void load(week); }, [week]);
  useEffect(() => {
    const move = (e: PointerEvent): void => {
      if (!carried.value || carried.value.byKeys) return;
      const at = document.elementFromPoint(e.clientX, e.clientY)?.closest<HTMLElement>("[data-date]");
      if (at) over({ crew: at.dataset["crew"] ?? "", date: at.dataset["date"] ?? "" });
      e.preventDefault();
    };
    const up = (): void => {
      const c = carried.value;
      if (!c || c.byKeys) return;
      if (c.over.crew === c.from.crew && c.over.date === c.from.date) {
        carried.value = null;
        location.hash = hashOf("job", c.stand.job); // a press without a way opens its job
      } else void putDown(week);
    };
    const key = (e: KeyboardEvent): void => {
      const c = carried.value;
      if (!c) return;
      e.stopPropagation();
      if (e.key === "Escape") { leave(); e.preventDefault(); return; }
      if (!c.byKeys) return;
      const rows = calendar.value?.rows ?? [], at = rows.findIndex((r) => r.crew === c.over.crew);
      const days = e.key === "ArrowLeft" ? -1 : e.key === "ArrowRight" ? 1 : 0,
        down = e.key === "ArrowUp" ? -1 : e.key === "ArrowDown" ? 1 : 0;
      if (e.key === "Enter" || e.key === " ") { void putDown(week); e.preventDefault(); } else if (days !== 0) {
        over({ ...c.over, date: shiftDate(c.over.date, days) });
        e.preventDefault();
      } else if (down !== 0 && rows[at + down]) {
        over({ ...c.over, crew: rows[at + down]!.crew });
        e.preventDefault();
      }
    };
    addEventListener("pointermove", move);
    addEventListener("pointerup", up);
    addEventListener("pointercancel", leave);
    addEventListener("keydown", key, true);
    return () => {
      carried.value = null;
      removeEventListener("pointermove", move);
      removeEventListener("pointerup", up);
      removeEventListener("pointercancel", leave);
      removeEventListener("keydown", key, true);
    };
  }, [week]);
  const c = calendar.value, w = words.calendar;
  if (!c) return <p role="status" class="small">{words.working}</p>;
  const first = c.dates[0]!;
  return (
    <section aria-label={words.views.calendar} class="calendar" ref={root}>
      <div class="acts">
        <a class="act" href={hashOf("calendar", weekOf(shiftDate(first, -7)))}>{w.earlier}</a>
        <a class="act" href={hashOf("calendar", weekOf(c.today))}>{w.today}</a>
        <a class="act" href={hashOf("calendar", weekOf(shiftDate(first, 7)))}>{w.later}</a>
      </div>
      <p class="small" id="calendar-keys">{w.keys}</p>
      {c.twice.map((t) => <p key={`${t.crew} ${t.date}`} class="stop" role="alert">{w.twice(nameOf(rowOf(t.crew)), dayWords(t.date))}</p>)}
      {c.rows.length === 0 ? <p>{w.none}</p> : [...Array(weeksShown).keys()].map((n) => <WeekBlock key={n} calendar={c} from={7 * n} />)}
      <p class={`told ${told.value.sure === null ? "" : told.value.sure ? "good" : "stop"}`} role="status" hidden={carried.value === null}>
        {carried.value && <b>{carried.value.stand.title}: </b>}{told.value.text}</p>
    </section>
  );
}

function WeekBlock({ calendar: c, from }: { calendar: Calendar; from: number }) {
  const dates = c.dates.slice(from, from + 7), week = weekOf(dates[0]!);
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label={words.calendar.caption(week)}>
      <table class="week"><caption>{words.calendar.caption(week)}{" "}
        <a href={`/api/office/week.pdf?week=${week}`}>{words.calendar.sheet}</a></caption>
        <thead><tr><th scope="col">{words.calendar.crew}</th>{dates.map((d) => <th scope="col" key={d} class={d === c.today ? "today" : ""}>
          {dayWords(d)}</th>)}</tr></thead>
        <tbody>{c.rows.map((r) => <tr key={r.crew}>
          <th scope="row">{r.crew === "" ? words.calendar.nobody : <><b class="crewmark">{r.mark}</b> {r.name} <small>{
            words.calendar.hands(r.people)}</small></>}</th>
          {dates.map((d, i) => <DayCell key={d} row={r} date={d} stands={r.days[from + i] ?? []} />)}</tr>)}</tbody>
      </table>
    </div>
  );
}

function DayCell({ row, date, stands }: { row: Row; date: string; stands: readonly Stand[] }) {
  const c = carried.value, here = c !== null && c.over.crew === row.crew && c.over.date === date;
  return (
    <td data-crew={row.crew} data-date={date} class={here ? `over ${told.value.sure === true ? "good" : told.value.sure === false ? "stop"
      : ""}` : ""}>
      {stands.map((s) => <button key={s.id} type="button" data-day={s.id} class={`chip ${c?.stand.id === s.id ? "carried" : ""}`}
        aria-describedby="calendar-keys"
        onPointerDown={(e) => {
          if (e.button !== 0 || carried.value) return;
          (e.target as Element).releasePointerCapture?.(e.pointerId);
          e.preventDefault();
          e.currentTarget.focus();
          take(s, { crew: row.crew, date }, false);
        }}
        onKeyDown={(e) => { if (!carried.value && (e.key === "Enter" || e.key === " ")) { e.preventDefault(); e.stopPropagation();
          take(s, { crew: row.crew, date }, true); } }}>
        <b>{s.title}</b>{" "}{s.part !== "whole" && <small>{words.job.parts[s.part]} </small>}<small>{words.calendar.day(s.nth)
          }<span class="sr"> {words.calendar.ofRoof}</span></small></button>)}
      {here && c.stand.date !== date && <span class="ghost" aria-hidden="true">{c.stand.title}</span>}
    </td>
  );
}
