// How sure a roof is from a day, in words: from what the server's engine said of each day of its forecast.

import { office as words } from "../words/office";
import { server, type Standing } from "./calls";
import { dayWords } from "./state";

const known = new Map<string, Promise<Standing>>();

/** standingOf asks once how sure the days of a roof are, for a number of hands (0: those of its own file). */
export function standingOf(job: string, people: number): Promise<Standing> {
  const key = `${job} ${people}`;
  let asked = known.get(key);
  if (!asked) {
    asked = server.standing(job, people);
    asked.catch(() => known.delete(key));
    known.set(key, asked);
  }
  return asked;
}

/** askAgain forgets what was said: a roof or its forecast may have changed. */
export const askAgain = (): void => known.clear();

/** chanceWords say how sure a roof is from a day. */
export function chanceWords(s: Standing, date: string): { readonly text: string; readonly sure: boolean | null } {
  const day = dayWords(date), o = s.roof.outlook, c = o.days.find((d) => d.date === date), w = words.chance;
  if (!c) return { text: o.days.length === 0 ? w.noForecast(day) : w.beyond(day), sure: null };
  if (c.at === "") return { text: w.no(day, c.why), sure: false };
  return { text: w.from(day, c.p, c.at, c.finish, c.sure), sure: c.sure };
}
