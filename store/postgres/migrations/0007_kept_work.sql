-- The work of a job's roof as stages, kept from one morning to the next: what of a plan does not hang on the weather. It follows from
-- state and firm file, and is made again where it is lost.
CREATE TABLE kept_work (
  job TEXT COLLATE "C" PRIMARY KEY REFERENCES job (id),
  basis TEXT COLLATE "C" NOT NULL, -- hash of what it follows from
  place TEXT COLLATE "C" NOT NULL, -- where weather is the same
  zone TEXT COLLATE "C" NOT NULL, -- of its times
  packed BYTEA NOT NULL
);

-- What the work of several roofs has in common: how films harden, which weather a stage bears; by the hash of its bytes.
CREATE TABLE kept_part (
  hash TEXT COLLATE "C" PRIMARY KEY CHECK (length(hash) = 64),
  packed BYTEA NOT NULL
);
