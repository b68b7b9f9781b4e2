-- The office's sheets in their newest versions: job, customer, site, crew and day. What a sheet says is JSON; the columns behind
-- it are what it is listed by, empty where there is nothing.
CREATE TABLE office_sheet (
  kind TEXT COLLATE "C" NOT NULL,
  id TEXT COLLATE "C" NOT NULL CHECK (length(id) = 32),
  version BIGINT NOT NULL CHECK (version >= 1),
  sheet TEXT COLLATE "C" NOT NULL,
  job TEXT COLLATE "C" NOT NULL,
  customer TEXT COLLATE "C" NOT NULL,
  site TEXT COLLATE "C" NOT NULL,
  crew TEXT COLLATE "C" NOT NULL,
  day TEXT COLLATE "C" NOT NULL,
  stage TEXT COLLATE "C" NOT NULL,
  name TEXT COLLATE "C" NOT NULL, -- of a customer, a site or a crew
  mark TEXT COLLATE "C" NOT NULL, -- of a crew, folded
  away BIGINT NOT NULL CHECK (away IN (0, 1)),
  PRIMARY KEY (kind, id)
);
CREATE UNIQUE INDEX office_sheet_mark ON office_sheet (mark) WHERE kind = 'crew' AND away = 0;
CREATE INDEX office_sheet_by_day ON office_sheet (kind, day, id);
CREATE INDEX office_sheet_by_job ON office_sheet (kind, job, day);

-- Every version of every sheet, with who wrote it.
CREATE TABLE office_version (
  kind TEXT COLLATE "C" NOT NULL,
  id TEXT COLLATE "C" NOT NULL,
  version BIGINT NOT NULL,
  when_ms BIGINT NOT NULL,
  who TEXT COLLATE "C" NOT NULL,
  what TEXT COLLATE "C" NOT NULL,
  sheet TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (kind, id, version)
);
CREATE TRIGGER office_version_stays BEFORE UPDATE ON office_version
  FOR EACH ROW EXECUTE FUNCTION kept_as_it_was('a version is never changed');
CREATE TRIGGER office_version_is_kept BEFORE DELETE ON office_version
  FOR EACH ROW EXECUTE FUNCTION kept_as_it_was('a version is never deleted');
CREATE TRIGGER office_version_is_not_emptied BEFORE TRUNCATE ON office_version
  EXECUTE FUNCTION kept_as_it_was('a version is never deleted');

-- What a search finds: texts with their places, and the folded words of each. They are made of the rest and can be made again.
CREATE TABLE office_text (
  id BIGINT PRIMARY KEY, -- by its content
  found_in TEXT COLLATE "C" NOT NULL,
  kind TEXT COLLATE "C" NOT NULL,
  sheet TEXT COLLATE "C" NOT NULL,
  job TEXT COLLATE "C" NOT NULL,
  place TEXT COLLATE "C" NOT NULL,
  shown TEXT COLLATE "C" NOT NULL
);
CREATE INDEX office_text_by_sheet ON office_text (sheet, kind);
CREATE TABLE office_word (
  word TEXT COLLATE "C" NOT NULL,
  text BIGINT NOT NULL,
  PRIMARY KEY (word, text)
);
CREATE INDEX office_word_by_text ON office_word (text);
-- How far a job's states and files are in the search.
CREATE TABLE office_searched (
  job TEXT COLLATE "C" PRIMARY KEY,
  newest BIGINT NOT NULL,
  files BIGINT NOT NULL
);
