// How sure a roof is from a day, in words: from what the server's engine said of each day of its forecast.

import { office as words } from "../words/spoken";
import type { Outlook } from "./calls";
import { dayWords } from "./state";

/** chanceWords say how sure a roof is from a day. */
export function chanceWords(o: Outlook, date: string): { readonly text: string; readonly sure: boolean | null } {
  const day = dayWords(date), c = o.days.find((d) => d.date === date), w = words.chance;
  if (!c) return { text: o.days.length === 0 ? w.noForecast(day) : w.beyond(day), sure: null };
  if (c.at === "") return { text: w.no(day, c.why), sure: false };
  return { text: w.from(day, c.p, c.at, c.finish, c.sure), sure: c.sure };
}
