// The house's rules for the page, read from its sources: imports point one way, colours stand in
// tokens.css alone, text is never read as markup, nobody else is asked for anything.

import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import test from "node:test";

const files = readdirSync("page", { recursive: true, encoding: "utf8" }).filter((f) => !f.startsWith("node_modules")
  && /\.(ts|tsx|css)$/.test(f));
const text = (f: string): string => readFileSync(join("page", f), "utf8");

/** Who may import whom, by folder. What several views share is a part; a view knows no other view. */
const knows: { readonly [folder: string]: readonly string[] } = {
  people: ["people", "words"],
  words: ["words"], model: ["model"], sheet: ["sheet", "model", "words"], worker: ["worker", "model"], session: ["session", "model",
    "worker"],
  office: ["office", "words"],
  parts: ["parts", "session", "sheet", "model", "words", "worker"], views: ["parts", "session", "sheet", "model", "words", "worker"],
};

test("imports point one way", () => {
  assert.ok(files.length > 20, "run from the root of the repository");
  for (const f of files.filter((x) => !x.endsWith(".css"))) {
    const folder = f.split("/")[0]!;
    for (const [, from] of text(f).matchAll(/from "(\.[^"]+)"/g)) {
      const to = normalize(join(dirname(f), from!)).split("/")[0]!;
      const may = knows[folder];
      if (may) assert.ok(may.includes(to), `${f} imports ${from}: ${folder} knows ${may.join(", ")} alone`);
    }
  }
});

/** A selector may name the colours of the engine's own drawing, to give them those of the light. */
test("colours stand in tokens.css alone", () => {
  for (const f of files.filter((x) => !x.endsWith("tokens.css") && !x.endsWith(".test.ts"))) {
    const found = /#[0-9a-fA-F]{3,8}\b(?![^<]*;base64)|\b(?:rgb|hsl|oklch)a?\(/.exec(text(f)
      .replaceAll(/\[(?:fill|stroke)="#[0-9a-f]{6}"\]/g, ""));
    assert.equal(found?.[0], undefined, f);
  }
});

test("a line is read at one glance, a file at one sitting", () => {
  for (const f of files.filter((x) => /\.tsx?$/.test(x) && !/(answers|office\/api)\.ts$/.test(x))) {
    const lines = text(f).split("\n"), long = lines.findIndex((l) => [...l].length > 140);
    assert.equal(long, -1, `${f}:${long + 1} is longer than 140 letters`);
    assert.ok(lines.length <= 500, `${f} has ${lines.length} lines`);
  }
});

test("text stays text, looks stay in classes", () => {
  for (const f of files.filter((x) => x.endsWith(".tsx"))) {
    assert.doesNotMatch(text(f), /innerHTML|dangerouslySetInnerHTML|\bstyle=|https?:\/\/(?!www\.w3\.org)/, f);
  }
});

/** What is of a firm leaves the device with the session; a browser keeps how somebody likes to read alone. ASVS 14.3.1. */
test("a browser keeps light, language and units, and nothing of a job", () => {
  for (const f of files.filter((x) => /\.tsx?$/.test(x) && !x.endsWith(".test.ts"))) {
    assert.doesNotMatch(text(f), /indexedDB|sessionStorage|\bcaches\.|serviceWorker|document\.cookie/, f);
    for (const [, key] of text(f).matchAll(/localStorage\.\w+\(([^,)]*)/g)) {
      assert.match(key!, /^"(?:light|language|units)"$/, f);
    }
  }
});
