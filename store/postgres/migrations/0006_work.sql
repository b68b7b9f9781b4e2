-- Work behind the page, as a person sees it; the queue's own rows lie in tables of its library (river_…).
CREATE TABLE work (
  id TEXT COLLATE "C" PRIMARY KEY CHECK (length(id) = 32),
  kind TEXT COLLATE "C" NOT NULL,
  work_key TEXT COLLATE "C" NOT NULL, -- of work that is not ended there is one of a key
  about TEXT COLLATE "C" NOT NULL, -- a job's id, a place, or empty
  title TEXT COLLATE "C" NOT NULL,
  args TEXT COLLATE "C" NOT NULL, -- JSON
  who TEXT COLLATE "C" NOT NULL,
  state TEXT COLLATE "C" NOT NULL,
  done BIGINT NOT NULL,
  whole BIGINT NOT NULL,
  said TEXT COLLATE "C" NOT NULL,
  result TEXT COLLATE "C" NOT NULL,
  worker TEXT COLLATE "C" NOT NULL, -- who does it, or did it last
  tries BIGINT NOT NULL,
  made_ms BIGINT NOT NULL,
  begun_ms BIGINT NOT NULL, -- 0: not yet, as ended_ms
  ended_ms BIGINT NOT NULL
);
CREATE UNIQUE INDEX work_under_way ON work (work_key) WHERE ended_ms = 0;
CREATE INDEX work_by_time ON work (made_ms DESC, id);
CREATE INDEX work_by_worker ON work (worker) WHERE ended_ms = 0;

-- Who works, and when they last said so.
CREATE TABLE worker (
  id TEXT COLLATE "C" PRIMARY KEY,
  name TEXT COLLATE "C" NOT NULL,
  since_ms BIGINT NOT NULL,
  beat_ms BIGINT NOT NULL
);

-- What the last re-plan of a job under its weather gave, and the one before.
CREATE TABLE chance (
  job TEXT COLLATE "C" PRIMARY KEY REFERENCES job (id),
  basis TEXT COLLATE "C" NOT NULL, -- hash of what it follows from
  made_ms BIGINT NOT NULL,
  issued_ms BIGINT NOT NULL, -- of the forecast; 0 where it does not say
  verdict TEXT COLLATE "C" NOT NULL,
  p DOUBLE PRECISION NOT NULL,
  target DOUBLE PRECISION NOT NULL,
  begin_ms BIGINT NOT NULL, -- 0 where there is no time
  finish_ms BIGINT NOT NULL,
  starts TEXT COLLATE "C" NOT NULL, -- JSON: of the stages of the programme that stands
  reason TEXT COLLATE "C" NOT NULL,
  learnt TEXT COLLATE "C" NOT NULL, -- what readings on site have shown of the place's forecasts
  credit TEXT COLLATE "C" NOT NULL,
  was_verdict TEXT COLLATE "C" NOT NULL,
  was_p DOUBLE PRECISION NOT NULL,
  runs BIGINT NOT NULL -- how often it was worked out
);

-- What somebody is to be reminded of, once a day and thing.
CREATE TABLE reminder (
  job TEXT COLLATE "C" NOT NULL,
  kind TEXT COLLATE "C" NOT NULL,
  day TEXT COLLATE "C" NOT NULL, -- 2026-05-12
  made_ms BIGINT NOT NULL,
  said TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (job, kind, day)
);
CREATE INDEX reminder_by_day ON reminder (day DESC, job, kind);
