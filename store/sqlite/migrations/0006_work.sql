-- Work behind the page, as a person sees it; the queue's own rows lie in tables of its library (river_…).
CREATE TABLE work (
  id TEXT PRIMARY KEY CHECK (length(id) = 32),
  kind TEXT NOT NULL,
  work_key TEXT NOT NULL, -- of work that is not ended there is one of a key
  about TEXT NOT NULL, -- a job's id, a place, or empty
  title TEXT NOT NULL,
  args TEXT NOT NULL, -- JSON
  who TEXT NOT NULL,
  state TEXT NOT NULL,
  done INTEGER NOT NULL,
  whole INTEGER NOT NULL,
  said TEXT NOT NULL,
  result TEXT NOT NULL,
  worker TEXT NOT NULL, -- who does it, or did it last
  tries INTEGER NOT NULL,
  made_ms INTEGER NOT NULL,
  begun_ms INTEGER NOT NULL, -- 0: not yet, as ended_ms
  ended_ms INTEGER NOT NULL
) STRICT;
CREATE UNIQUE INDEX work_under_way ON work (work_key) WHERE ended_ms = 0;
CREATE INDEX work_by_time ON work (made_ms DESC, id);
CREATE INDEX work_by_worker ON work (worker) WHERE ended_ms = 0;

-- Who works, and when they last said so.
CREATE TABLE worker (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  since_ms INTEGER NOT NULL,
  beat_ms INTEGER NOT NULL
) STRICT;

-- What the last re-plan of a job under its weather gave, and the one before.
CREATE TABLE chance (
  job TEXT PRIMARY KEY REFERENCES job (id),
  basis TEXT NOT NULL, -- hash of what it follows from
  made_ms INTEGER NOT NULL,
  issued_ms INTEGER NOT NULL, -- of the forecast; 0 where it does not say
  verdict TEXT NOT NULL,
  p REAL NOT NULL,
  target REAL NOT NULL,
  begin_ms INTEGER NOT NULL, -- 0 where there is no time
  finish_ms INTEGER NOT NULL,
  starts TEXT NOT NULL, -- JSON: of the stages of the programme that stands
  reason TEXT NOT NULL,
  learnt TEXT NOT NULL, -- what readings on site have shown of the place's forecasts
  credit TEXT NOT NULL,
  was_verdict TEXT NOT NULL,
  was_p REAL NOT NULL,
  runs INTEGER NOT NULL -- how often it was worked out
) STRICT, WITHOUT ROWID;

-- What somebody is to be reminded of, once a day and thing.
CREATE TABLE reminder (
  job TEXT NOT NULL,
  kind TEXT NOT NULL,
  day TEXT NOT NULL, -- 2026-05-12
  made_ms INTEGER NOT NULL,
  said TEXT NOT NULL,
  PRIMARY KEY (job, kind, day)
) STRICT, WITHOUT ROWID;
CREATE INDEX reminder_by_day ON reminder (day DESC, job, kind);
