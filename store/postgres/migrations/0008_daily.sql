-- What is done once a day, whoever does it: the round of the morning, the backup.
CREATE TABLE daily (
  what TEXT COLLATE "C" NOT NULL,
  day TEXT COLLATE "C" NOT NULL, -- 2026-05-12
  ordered_ms BIGINT NOT NULL,
  PRIMARY KEY (what, day)
);
