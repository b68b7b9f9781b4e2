-- What a weather service last answered, by what it was asked, and when it may be asked again.
CREATE TABLE weather_answer (
  address TEXT COLLATE "C" PRIMARY KEY,
  place TEXT COLLATE "C" NOT NULL,
  etag TEXT COLLATE "C" NOT NULL,
  last_modified TEXT COLLATE "C" NOT NULL,
  fetched_ms BIGINT NOT NULL, -- 0: it has never answered
  expires_ms BIGINT NOT NULL,
  packed BYTEA NOT NULL, -- raw deflate
  failures BIGINT NOT NULL, -- one after another, since it last answered
  wait_ms BIGINT NOT NULL -- nobody asks before
);

-- Forecasts as they were made, each once.
CREATE TABLE weather_forecast (
  place TEXT COLLATE "C" NOT NULL,
  hash TEXT COLLATE "C" NOT NULL CHECK (length(hash) = 64),
  made_ms BIGINT NOT NULL, -- when its maker made it, or else when it was fetched
  fetched_ms BIGINT NOT NULL,
  packed BYTEA NOT NULL,
  PRIMARY KEY (place, hash)
);
CREATE INDEX weather_forecast_by_time ON weather_forecast (place, made_ms DESC);

-- Readings on site, each file once, as it was given.
CREATE TABLE weather_reading (
  place TEXT COLLATE "C" NOT NULL,
  hash TEXT COLLATE "C" NOT NULL CHECK (length(hash) = 64),
  name TEXT COLLATE "C" NOT NULL,
  zone TEXT COLLATE "C" NOT NULL, -- of the file's local times: Europe/London
  who TEXT COLLATE "C" NOT NULL,
  made_ms BIGINT NOT NULL,
  packed BYTEA NOT NULL,
  PRIMARY KEY (place, hash)
);

-- Which place a job's roof is at, and whom its firm asks for the weather there.
CREATE TABLE weather_place (
  job TEXT COLLATE "C" PRIMARY KEY REFERENCES job (id),
  place TEXT COLLATE "C" NOT NULL,
  service TEXT COLLATE "C" NOT NULL, -- the address with its holes; empty where the firm names none
  contact TEXT COLLATE "C" NOT NULL
);
CREATE INDEX weather_place_by_place ON weather_place (place);
