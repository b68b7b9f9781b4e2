package postgres

import (
	"context"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"fmt"

	"github.com/jackc/pgx/v5/stdlib"

	"gelwright/store"
	"gelwright/store/tables"
)

// DB is a database that is open.
type DB struct{ *tables.DB }

const (
	connections = 16           // that one program has open at most
	ours        = 0x47454c5700 // names the lock of migrations: the letters GELW
	sweeping    = ours + 1     // names the lock that writers of files share, and who sweeps has alone
)

// Open opens the database at an address, postgres://user@host:5432/name or what else PostgreSQL's own programs take, and makes its
// tables where it is empty; the bytes of files lie in files. A password comes from the environment (PGPASSWORD) or a password file
// (PGPASSFILE) as well. One of a newer release, or of another program, is refused and left as it is.
//
// version is 0 for the newest; an older one alone is asked for where the database is to be filled with what was kept at that version.
func Open(ctx context.Context, address string, files tables.Files, version int) (*DB, error) {
	all := steps()
	if version == 0 {
		version = len(all)
	}
	if version < 0 || version > len(all) {
		return nil, &store.Error{Kind: store.Newer, Place: "database",
			Found:  fmt.Sprintf("version %d is not known; this program knows 1 to %d", version, len(all)),
			Remedy: "Do it with a newer release"}
	}
	return open(ctx, address, files, all[:version])
}

// connect makes the connections to the database at an address, none of which is open yet, and names its place.
func connect(address string) (*sql.DB, string, error) {
	config, err := configOf(address)
	if err != nil {
		return nil, "", err
	}
	db := stdlib.OpenDB(*config)
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	return db, placeOf(config), nil
}

func open(ctx context.Context, address string, files tables.Files, steps []step) (*DB, error) {
	db, place, err := connect(address)
	if err != nil {
		return nil, err
	}
	if err := prepare(ctx, db, place, files, steps); err != nil {
		db.Close()
		return nil, fault(place, err)
	}
	return &DB{tables.New(db, db, tables.Dialect{
		Place: place, Address: address, Numbered: true, LockRow: " FOR UPDATE", LockFile: lockFile,
		Looking:    sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true},
		Version:    "SELECT count(*) FROM gelwright_version",
		TableNames: "SELECT relname FROM pg_class WHERE relkind IN ('r', 'p') AND relnamespace = current_schema()::regnamespace",
		Filled:     filled,
		Fault:      func(err error) error { return fault(place, err) },
		Again:      again,
	}, files)}, nil
}

// lockFile has one change at a time put or drop the bytes of a hash, and nobody sweep meanwhile.
func lockFile(ctx context.Context, tx *tables.Tx, hash string) error {
	raw, err := hex.DecodeString(hash)
	if err != nil || len(raw) < 8 {
		return fmt.Errorf("%q is no hash", hash)
	}
	// Two hashes may share a lock: then they wait for each other for nothing.
	key := int64(binary.BigEndian.Uint64(raw))
	_, err = tx.ExecContext(ctx, "SELECT pg_advisory_xact_lock_shared(?), pg_advisory_xact_lock(?)", int64(sweeping), key)
	return err
}

// filled has each column that numbers itself go on behind the greatest number that was put in.
func filled(ctx context.Context, tx *tables.Tx) error {
	rows, err := tx.QueryContext(ctx, `SELECT table_name, column_name FROM information_schema.columns
		WHERE table_schema = current_schema() AND is_identity = 'YES' ORDER BY 1, 2`)
	if err != nil {
		return err
	}
	defer rows.Close()
	var asks []string
	for rows.Next() {
		var table, column string
		if err := rows.Scan(&table, &column); err != nil {
			return err
		}
		asks = append(asks, fmt.Sprintf("SELECT setval(pg_get_serial_sequence('%s', '%s'), max(%[2]s)) FROM %[1]s", table, column))
	}
	if err := rows.Close(); err != nil {
		return err
	}
	for _, ask := range asks {
		if _, err := tx.ExecContext(ctx, ask); err != nil {
			return err
		}
	}
	return nil
}
