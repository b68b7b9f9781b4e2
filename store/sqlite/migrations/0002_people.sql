-- Who may sign in. One that has ended is kept: what was done bears its name.
CREATE TABLE account (
  id TEXT PRIMARY KEY CHECK (length(id) = 32),
  sign_in TEXT NOT NULL UNIQUE, -- in small letters
  name TEXT NOT NULL,
  role TEXT NOT NULL,
  password TEXT NOT NULL, -- argon2id with its parameters and salt; empty where there is none yet
  made_ms INTEGER NOT NULL,
  ended_ms INTEGER NOT NULL -- 0: it has not; so with all times below
) STRICT;

-- What lets somebody in: sessions, tokens, invitations, links of customers, passkeys under way. Of its secret the hash alone.
CREATE TABLE pass (
  id TEXT PRIMARY KEY CHECK (length(id) = 32),
  hash TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
  kind TEXT NOT NULL,
  account TEXT NOT NULL, -- empty of a link
  job TEXT NOT NULL, -- of a link alone
  role TEXT NOT NULL,
  name TEXT NOT NULL,
  note TEXT NOT NULL,
  made_from TEXT NOT NULL, -- an address
  made_ms INTEGER NOT NULL,
  used_ms INTEGER NOT NULL,
  ends_ms INTEGER NOT NULL,
  ended_ms INTEGER NOT NULL
) STRICT;
CREATE INDEX pass_by_account ON pass (account, kind);
CREATE INDEX pass_by_job ON pass (job, kind);

CREATE TABLE passkey (
  id TEXT PRIMARY KEY,
  account TEXT NOT NULL REFERENCES account (id),
  name TEXT NOT NULL,
  credential TEXT NOT NULL, -- JSON
  made_ms INTEGER NOT NULL,
  used_ms INTEGER NOT NULL,
  ended_ms INTEGER NOT NULL
) STRICT;
CREATE INDEX passkey_by_account ON passkey (account);

-- How often something was tried of late, under the hash of what was tried.
CREATE TABLE tries (
  key TEXT PRIMARY KEY,
  began_ms INTEGER NOT NULL,
  count INTEGER NOT NULL
) STRICT;

-- Files that the customer of a job may see.
CREATE TABLE shown (
  job TEXT NOT NULL,
  name TEXT NOT NULL,
  PRIMARY KEY (job, name),
  FOREIGN KEY (job, name) REFERENCES file (job, name)
) STRICT, WITHOUT ROWID;

-- Who did what, when and from where.
CREATE TABLE deed (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  when_ms INTEGER NOT NULL,
  kind TEXT NOT NULL,
  by_account TEXT NOT NULL,
  by_name TEXT NOT NULL,
  about TEXT NOT NULL,
  job TEXT NOT NULL,
  done_from TEXT NOT NULL, -- an address
  device TEXT NOT NULL
) STRICT;
CREATE INDEX deed_by_job ON deed (job, when_ms);

CREATE TRIGGER account_is_kept BEFORE DELETE ON account BEGIN SELECT RAISE(ABORT, 'an account is never deleted'); END;
CREATE TRIGGER deed_stays BEFORE UPDATE ON deed BEGIN SELECT RAISE(ABORT, 'a deed is never changed'); END;
CREATE TRIGGER deed_is_kept BEFORE DELETE ON deed BEGIN SELECT RAISE(ABORT, 'a deed is never deleted'); END;
