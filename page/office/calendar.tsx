// Weeks as blocks, crews as rows, days as columns. A roof is carried to other days by hand or by keys, all of its run or one day of it,
// and how sure it is there stands beside it before it is put down.

import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { office as words } from "../words/spoken";
import { server, type Calendar, type Row, type Run, type Stand } from "./calls";
import { chanceWords } from "./chance";
import { Choice } from "./form";
import { dayWords, hashOf, refuse, say, shiftDate, weekOf, writeDays } from "./state";

const weeksShown = 3;
const calendar = signal<Calendar | null>(null);

/** Cell is a place of the calendar. */
interface Cell { readonly crew: string; readonly date: string }

/** alone says that a day is carried by itself, not the run that it belongs to. */
const alone = signal(false);
/** near is the run that is pointed at: its days show that they belong together. */
const near = signal("");

/** carried is the day that was taken, and where it is over; told is how sure its roof is there, ghosts where its run would stand. */
const carried = signal<{ readonly stand: Stand; readonly from: Cell; readonly over: Cell; readonly byKeys: boolean } | null>(null);
const told = signal<{ readonly text: string; readonly sure: boolean | null }>({ text: "", sure: null });
const ghosts = signal<Run["days"]>([]);

async function load(week: string): Promise<void> {
  try {
    calendar.value = await server.calendar(week, weeksShown);
  } catch (why) {
    refuse(why);
  }
}

const rowOf = (crew: string): Row | undefined => calendar.value?.rows.find((r) => r.crew === crew);
const nameOf = (r: Row | undefined): string => (r && r.crew !== "" ? `${r.mark} ${r.name}` : words.calendar.nobody);
const standsOf = (c: Calendar): readonly Stand[] => c.rows.flatMap((r) => r.days.flat());

/** asked are what moves would make, each asked for once while a roof is carried: roof and forecast may change between two times. */
const asked = new Map<string, Promise<Run>>();

/** runOver is what putting the day that is carried down over a cell would make. */
function runOver(stand: Stand, cell: Cell): Promise<Run> {
  const key = `${stand.id} ${cell.crew} ${cell.date} ${alone.value}`;
  let run = asked.get(key);
  if (!run) {
    run = server.run(stand.job, { day: stand.id, to: cell.date, crew: cell.crew, alone: alone.value });
    asked.set(key, run);
  }
  return run;
}

/** datesOf are the different dates of days, as they are said. */
function datesOf(days: Run["days"]): string {
  const all = [...new Set(days.map((d) => d.sheet.date))].sort(), most = 5;
  return words.calendar.dates(all.length <= most ? all.map(dayWords) : [dayWords(all[0]!), "…", dayWords(all.at(-1)!)], all.length);
}

/** over carries the roof over a cell and asks how sure it is there. */
function over(cell: Cell): void {
  const c = carried.value;
  if (!c || (c.over.crew === cell.crew && c.over.date === cell.date && told.value.text !== "")) return;
  carried.value = { ...c, over: cell };
  const where = words.calendar.over(dayWords(cell.date), nameOf(rowOf(cell.crew)));
  told.value = { text: `${where}. ${words.chance.asking}`, sure: null };
  const here = (): boolean => carried.value?.over.crew === cell.crew && carried.value.over.date === cell.date;
  runOver(c.stand, cell).then((r) => {
    if (!here()) return;
    ghosts.value = r.days;
    const x = chanceWords(r.outlook, r.from), twice = r.twice.map((t) => words.calendar.twice(nameOf(rowOf(t.crew)), dayWords(t.date)));
    told.value = { text: [`${where}.`, r.days.length > 1 ? datesOf(r.days) : "", x.text, ...twice].filter((t) => t !== "").join(" "),
      sure: twice.length > 0 ? false : x.sure };
  }, (why: unknown) => {
    if (here()) told.value = { text: `${where}. ${why instanceof Error ? why.message : String(why)}`, sure: null };
  });
}

function take(stand: Stand, from: Cell, byKeys: boolean): void {
  asked.clear();
  ghosts.value = [];
  carried.value = { stand, from, over: from, byKeys };
  told.value = { text: "", sure: null };
  if (byKeys) say(words.calendar.taken(stand.title));
  over(from);
}

function leave(): void {
  if (carried.value) say(words.calendar.left);
  carried.value = null;
}

/** putDown moves what is carried to where it is over: the one act of hand and keys. */
async function putDown(week: string): Promise<void> {
  const c = carried.value;
  carried.value = null;
  if (!c) return;
  try {
    const run = await runOver(c.stand, c.over);
    if (run.days.length === 0) {
      say(words.calendar.left);
      return;
    }
    const what = words.calendar.moved(c.stand.title, datesOf(run.days), nameOf(rowOf(c.over.crew)));
    const seen = new Map(calendar.value ? standsOf(calendar.value).map((s) => [s.id, s.version]) : []);
    const after = (): void => { void load(week); };
    // It is based on what was seen: what somebody else changed meanwhile is shown, not written over.
    const kept = await writeDays(run.days.map((d, i) => ({ sheet: d.sheet,
      was: { ...run.was[i]!, version: seen.get(d.id) ?? d.version } })), what, after);
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
      <div class="ask-row"><Choice label={w.carry} value={alone.value ? "one" : "run"} of={[["run", w.wholeRun], ["one", w.oneDay]]}
        onKeep={(v) => { alone.value = v === "one"; }} /><p class="small" id="calendar-keys">{w.keys}</p></div>
      <p class="small">{w.isToday(dayWords(c.today), c.zone)}</p>
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
  const coming = c === null ? [] : ghosts.value.filter((d) => d.sheet.date === date && d.sheet.crew === row.crew
    && !stands.some((s) => s.id === d.id));
  return (
    <td data-crew={row.crew} data-date={date} class={here ? `over ${told.value.sure === true ? "good" : told.value.sure === false ? "stop"
      : ""}` : ""}>
      {stands.map((s) => <Chip key={s.id} stand={s} row={row} date={date} />)}
      {coming.map((d) => <span key={d.id} class="ghost" aria-hidden="true">{c?.stand.title}</span>)}
    </td>
  );
}

/** Chip is a day on a roof that can be taken. */
function Chip({ stand: s, row, date }: { stand: Stand; row: Row; date: string }) {
  const c = carried.value, mine = c !== null && (c.stand.id === s.id || !alone.value && c.stand.run === s.run);
  const by = (): void => { near.value = s.run; }, away = (): void => { if (near.value === s.run) near.value = ""; };
  return (
    <button type="button" data-day={s.id} class={`chip ${mine ? "carried" : ""} ${near.value === s.run && s.of > 1 ? "mate" : ""}`}
      aria-describedby="calendar-keys" onPointerEnter={by} onPointerLeave={away} onFocus={by} onBlur={away}
      onPointerDown={(e) => {
        if (e.button !== 0 || carried.value) return;
        (e.target as Element).releasePointerCapture?.(e.pointerId);
        e.preventDefault();
        e.currentTarget.focus();
        take(s, { crew: row.crew, date }, false);
      }}
      onKeyDown={(e) => {
        if (carried.value || (e.key !== "Enter" && e.key !== " ")) return;
        e.preventDefault();
        e.stopPropagation();
        take(s, { crew: row.crew, date }, true);
      }}>
      <b>{s.title}</b>{" "}{s.part !== "whole" && <small>{words.job.parts[s.part]} </small>}
      <small>{words.calendar.day(s.nth, s.of)}<span class="sr"> {words.calendar.ofRoof}</span></small></button>
  );
}
