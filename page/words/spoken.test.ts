import assert from "node:assert/strict";
import test from "node:test";
import { de } from "./de";
import { en } from "./en";
import { margin as english } from "./margin";
import { margin as german } from "./margin.de";
import { office as englishOffice } from "./office";
import { office as germanOffice } from "./office.de";
import { people as englishPeople } from "./people";
import { people as germanPeople } from "./people.de";
import { work as englishWork } from "./work";
import { work as germanWork } from "./work.de";
import { languageOf, unfigured } from "./spoken";

test("the page speaks what was chosen, else what the browser wants first", () => {
  assert.equal(languageOf("de", ["en-GB"]), "de");
  assert.equal(languageOf(null, ["fr-FR", "de-AT", "en"]), "de");
  assert.equal(languageOf(null, ["en-GB", "de"]), "en");
  assert.equal(languageOf("xx", ["fr"]), "en");
  assert.equal(languageOf("toString", ["constructor"]), "en");
});

test("a number is typed with either mark", () => {
  for (const [typed, want] of [["0,5", "0.5"], ["0.5", "0.5"], ["−3,25", "-3.25"], [" 12 ", "12"], ["1,2,3", "1,2,3"],
    ["felt", "felt"]] as const)
    assert.equal(unfigured(typed), want, typed);
});

/** texts are every text of a catalogue that holds no value, by its path. */
function texts(of: object, path = ""): readonly (readonly [string, string])[] {
  return Object.entries(of).flatMap(([key, v]): readonly (readonly [string, string])[] => typeof v === "string" ? [[`${path}.${key}`, v]]
    : typeof v === "object" && v !== null ? texts(v as object, `${path}.${key}`) : []);
}

/** same are texts that read alike in both languages. */
const same = new Set([".list.name", ".sheet.north", ".tape.erase", ".readHere",
  ".job.name", ".names.fields.name", ".conflict.fields.name"]);

test("no text was left in English", () => {
  for (const [a, b] of [[en, de], [english, german], [englishPeople, germanPeople], [englishWork, germanWork],
    [englishOffice, germanOffice]] as const) {
    const other = new Map(texts(b));
    for (const [path, text] of texts(a)) {
      if (!same.has(path)) assert.notEqual(other.get(path)?.toLowerCase(), text.toLowerCase(), path);
      assert.ok(path === ".readHere" || other.get(path) !== "" || text === "", path);
    }
  }
});
