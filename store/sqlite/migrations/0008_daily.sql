-- What is done once a day, whoever does it: the round of the morning, the backup.
CREATE TABLE daily (
  what TEXT NOT NULL,
  day TEXT NOT NULL, -- 2026-05-12
  ordered_ms INTEGER NOT NULL,
  PRIMARY KEY (what, day)
) STRICT, WITHOUT ROWID;
