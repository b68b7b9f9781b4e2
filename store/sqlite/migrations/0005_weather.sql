-- What a weather service last answered, by what it was asked, and when it may be asked again.
CREATE TABLE weather_answer (
  address TEXT PRIMARY KEY,
  place TEXT NOT NULL,
  etag TEXT NOT NULL,
  last_modified TEXT NOT NULL,
  fetched_ms INTEGER NOT NULL, -- 0: it has never answered
  expires_ms INTEGER NOT NULL,
  packed BLOB NOT NULL, -- raw deflate
  failures INTEGER NOT NULL, -- one after another, since it last answered
  wait_ms INTEGER NOT NULL -- nobody asks before
) STRICT;

-- Forecasts as they were made, each once.
CREATE TABLE weather_forecast (
  place TEXT NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  made_ms INTEGER NOT NULL, -- when its maker made it, or else when it was fetched
  fetched_ms INTEGER NOT NULL,
  packed BLOB NOT NULL,
  PRIMARY KEY (place, hash)
) STRICT, WITHOUT ROWID;
CREATE INDEX weather_forecast_by_time ON weather_forecast (place, made_ms DESC);

-- Readings on site, each file once, as it was given.
CREATE TABLE weather_reading (
  place TEXT NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  name TEXT NOT NULL,
  zone TEXT NOT NULL, -- of the file's local times: Europe/London
  who TEXT NOT NULL,
  made_ms INTEGER NOT NULL,
  packed BLOB NOT NULL,
  PRIMARY KEY (place, hash)
) STRICT, WITHOUT ROWID;

-- Which place a job's roof is at, and whom its firm asks for the weather there.
CREATE TABLE weather_place (
  job TEXT PRIMARY KEY REFERENCES job (id),
  place TEXT NOT NULL,
  service TEXT NOT NULL, -- the address with its holes; empty where the firm names none
  contact TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX weather_place_by_place ON weather_place (place);
