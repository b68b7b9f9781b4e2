// The language of the page: the one that was chosen here before, else the first of the browser's languages that there is. It holds
// until the page is loaded again.

import { de } from "./de";
import { en, type Words } from "./en";
import { margin as english, type MarginWords } from "./margin";
import { margin as german } from "./margin.de";
import { office as englishOffice, type OfficeWords } from "./office";
import { office as germanOffice } from "./office.de";
import { people as englishPeople, type PeopleWords } from "./people";
import { people as germanPeople } from "./people.de";
import { work as englishWork, type WorkWords } from "./work";
import { work as germanWork } from "./work.de";

/** Language is the code of a language that the page speaks. */
export type Language = "en" | "de";

/** languages by their own names. */
export const languages: { readonly [code in Language]: string } = { en: "English", de: "Deutsch" };

const known = (code: string): code is Language => Object.hasOwn(languages, code);

/** languageOf is the language of what was chosen (nothing for no choice), else of the first that the browser wants and the page speaks. */
export function languageOf(chosen: string | null, wanted: readonly string[]): Language {
  if (chosen !== null && known(chosen)) return chosen;
  return wanted.map((tag) => tag.toLowerCase().split("-")[0]!).find(known) ?? "en";
}

/** language of the page as it stands. */
export const language: Language = typeof document === "undefined" ? "en" : languageOf(localStorage.getItem("language"),
  navigator.languages);

/** speak keeps a choice and loads the page in it. */
export function speak(code: string): void {
  if (!known(code) || code === language) return;
  localStorage.setItem("language", code);
  location.reload();
}

/** words of the drawing, and of the margin. */
export const words: Words = language === "de" ? de : en;
export const margin: MarginWords = language === "de" ? german : english;

/** people is what the pages of accounts and customers say. */
export const people: PeopleWords = language === "de" ? germanPeople : englishPeople;

/** office is what the office says. */
export const office: OfficeWords = language === "de" ? germanOffice : englishOffice;

/** work is what is said of the work behind the page. */
export const work: WorkWords = language === "de" ? germanWork : englishWork;

/** decimal is the mark that numbers are shown with; typed numbers may have either. */
export const decimal: "." | "," = language === "de" ? "," : ".";

/** figure shows a number as it is, with the mark of the language. */
export const figure = (x: number | string): string => String(x).replace(".", decimal);

/** unfigured is a typed number as the roof file writes it. */
export const unfigured = (text: string): string => text.trim().replace(/^([-−]?[0-9]*),([0-9]+)$/, "$1.$2").replace("−", "-");
