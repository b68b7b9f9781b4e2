-- The office's sheets in their newest versions: job, customer, site, crew and day. What a sheet says is JSON; the columns behind
-- it are what it is listed by, empty where there is nothing.
CREATE TABLE office_sheet (
  kind TEXT NOT NULL,
  id TEXT NOT NULL CHECK (length(id) = 32),
  version INTEGER NOT NULL CHECK (version >= 1),
  sheet TEXT NOT NULL,
  job TEXT NOT NULL,
  customer TEXT NOT NULL,
  site TEXT NOT NULL,
  crew TEXT NOT NULL,
  day TEXT NOT NULL,
  stage TEXT NOT NULL,
  name TEXT NOT NULL, -- of a customer, a site or a crew
  mark TEXT NOT NULL, -- of a crew, folded
  away INTEGER NOT NULL CHECK (away IN (0, 1)),
  PRIMARY KEY (kind, id)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX office_sheet_mark ON office_sheet (mark) WHERE kind = 'crew' AND away = 0;
CREATE INDEX office_sheet_by_day ON office_sheet (kind, day, id);
CREATE INDEX office_sheet_by_job ON office_sheet (kind, job, day);

-- Every version of every sheet, with who wrote it.
CREATE TABLE office_version (
  kind TEXT NOT NULL,
  id TEXT NOT NULL,
  version INTEGER NOT NULL,
  when_ms INTEGER NOT NULL,
  who TEXT NOT NULL,
  what TEXT NOT NULL,
  sheet TEXT NOT NULL,
  PRIMARY KEY (kind, id, version)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER office_version_stays BEFORE UPDATE ON office_version BEGIN SELECT RAISE(ABORT, 'a version is never changed'); END;
CREATE TRIGGER office_version_is_kept BEFORE DELETE ON office_version BEGIN SELECT RAISE(ABORT, 'a version is never deleted'); END;

-- What a search finds: texts with their places, and the folded words of each. They are made of the rest and can be made again.
CREATE TABLE office_text (
  id INTEGER PRIMARY KEY, -- by its content
  found_in TEXT NOT NULL,
  kind TEXT NOT NULL,
  sheet TEXT NOT NULL,
  job TEXT NOT NULL,
  place TEXT NOT NULL,
  shown TEXT NOT NULL
) STRICT;
CREATE INDEX office_text_by_sheet ON office_text (sheet, kind);
CREATE TABLE office_word (
  word TEXT NOT NULL,
  text INTEGER NOT NULL,
  PRIMARY KEY (word, text)
) STRICT, WITHOUT ROWID;
CREATE INDEX office_word_by_text ON office_word (text);
-- How far a job's states and files are in the search.
CREATE TABLE office_searched (
  job TEXT PRIMARY KEY,
  newest INTEGER NOT NULL,
  files INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
