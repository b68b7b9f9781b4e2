-- Documents and changes, each once: its SHA-256, its length, and its bytes packed with raw deflate.
CREATE TABLE text (
  id INTEGER PRIMARY KEY,
  hash BLOB NOT NULL UNIQUE CHECK (length(hash) = 32),
  size INTEGER NOT NULL CHECK (size > 0),
  packed BLOB NOT NULL
) STRICT;

CREATE TABLE job (
  id TEXT PRIMARY KEY CHECK (length(id) = 32),
  title TEXT NOT NULL,
  site TEXT NOT NULL,
  find TEXT NOT NULL, -- title and site in small letters
  created_ms INTEGER NOT NULL, -- since 1970, UTC, as all times here
  changed_ms INTEGER NOT NULL,
  newest INTEGER NOT NULL CHECK (newest >= 1),
  survey_group TEXT NOT NULL CHECK (length(survey_group) = 32),
  parent TEXT NOT NULL, -- a job that may be kept elsewhere; empty where there is none
  parent_seq INTEGER NOT NULL,
  retired_ms INTEGER,
  retired_who TEXT
) STRICT;
CREATE INDEX job_by_change ON job (changed_ms DESC, id);
CREATE INDEX job_by_group ON job (survey_group, created_ms, id);

CREATE TABLE state (
  job TEXT NOT NULL REFERENCES job (id),
  seq INTEGER NOT NULL CHECK (seq >= 1),
  id TEXT NOT NULL,
  when_ms INTEGER NOT NULL,
  who TEXT NOT NULL,
  what TEXT NOT NULL,
  title TEXT NOT NULL,
  site TEXT NOT NULL,
  document INTEGER NOT NULL REFERENCES text (id),
  change INTEGER REFERENCES text (id),
  restored INTEGER NOT NULL,
  PRIMARY KEY (job, seq),
  UNIQUE (job, id)
) STRICT, WITHOUT ROWID;

-- Files and photos; their bytes lie in files/ under the hash.
CREATE TABLE file (
  job TEXT NOT NULL REFERENCES job (id),
  name TEXT NOT NULL,
  media_type TEXT NOT NULL,
  when_ms INTEGER NOT NULL,
  who TEXT NOT NULL,
  size INTEGER NOT NULL CHECK (size >= 0),
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  PRIMARY KEY (job, name)
) STRICT, WITHOUT ROWID;

-- What was kept stays as it was.
CREATE TRIGGER text_stays BEFORE UPDATE ON text BEGIN SELECT RAISE(ABORT, 'a text is never changed'); END;
CREATE TRIGGER text_is_kept BEFORE DELETE ON text BEGIN SELECT RAISE(ABORT, 'a text is never deleted'); END;
CREATE TRIGGER state_stays BEFORE UPDATE ON state BEGIN SELECT RAISE(ABORT, 'a state is never changed'); END;
CREATE TRIGGER state_is_kept BEFORE DELETE ON state BEGIN SELECT RAISE(ABORT, 'a state is never deleted'); END;
CREATE TRIGGER file_stays BEFORE UPDATE ON file BEGIN SELECT RAISE(ABORT, 'a file is never changed'); END;
CREATE TRIGGER file_is_kept BEFORE DELETE ON file BEGIN SELECT RAISE(ABORT, 'a file is never deleted'); END;
CREATE TRIGGER job_is_kept BEFORE DELETE ON job BEGIN SELECT RAISE(ABORT, 'a job is never deleted'); END;
