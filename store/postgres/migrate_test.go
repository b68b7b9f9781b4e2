package postgres

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"

	"gelwright/internal/postgrestest"
	"gelwright/store"
	"gelwright/store/folder"
)

// TestMigrationsAreOnlyAdded holds the text of each migration: one that was given out is never changed. Each has the name of that
// of SQLite.
func TestMigrationsAreOnlyAdded(t *testing.T) {
	given := []struct{ name, sha256 string }{
		{"0001.sql", "81949c8f21704f762479578480433ca121f0c10605385aaab18282a25579ec0a"},
		{"0002_people.sql", "07fee1a9d2326559d70c137bdca8b5ed1acb0b2c8a9709d0b77ff0b261a7bb23"},
		{"0003_office.sql", "d6bbf4b0983141c07cf3dd0b2b36368fa620639899ec6e8dcb1b559a671421ff"},
		{"0005_weather.sql", "9f4d63fb774e613b6cb9a16ae0b2b46745de21edc4b0bc95e550e54453ab1f0f"},
		{"0006_work.sql", "7f24d8808e0a372eebed13bf37ef19c69804a61087fa20ed7121efcfa8772845"},
		{"0007_kept_work.sql", "504bb332d36f15ee73afbf0a1b018f71b36d6974b8e6663ef36c1d5d026486e7"},
		{"0008_daily.sql", "28740e5f858777952747a0ffc14fbfbeaf3074ffc0bbccff8a778327759d5522"},
	}
	all := steps()
	if len(all) != len(given) {
		t.Fatalf("%d migrations, %d are held here: add the new one's hash", len(all), len(given))
	}
	for i, s := range all {
		if i > 0 && s.name[:4] <= all[i-1].name[:4] {
			t.Errorf("%s stands behind %s: each has a number of its own", s.name, all[i-1].name)
		}
		sum := sha256.Sum256([]byte(s.text))
		if got := hex.EncodeToString(sum[:]); s.name != given[i].name || got != given[i].sha256 {
			t.Errorf("%s is %s, given out was %s %s: a migration is never changed, add another", s.name, got, given[i].name, given[i].sha256)
		}
	}
	folder, err := os.ReadDir("../sqlite/migrations")
	if err != nil || len(folder) != len(all) {
		t.Fatalf("SQLite has %d migrations, PostgreSQL %d, %v", len(folder), len(all), err)
	}
	for i, f := range folder {
		if f.Name() != all[i].name {
			t.Errorf("%s is called %s of SQLite: the numbers and names are the same", all[i].name, f.Name())
		}
	}
}

// plain is the database itself, past the store.
func plain(t *testing.T, address string) *sql.DB {
	t.Helper()
	db, err := sql.Open("pgx", address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

// openedAs opens a database as another release would.
func openedAs(t *testing.T, address string, steps []step) error {
	t.Helper()
	files, err := folder.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	db, err := open(context.Background(), address, files, steps)
	if err != nil {
		return err
	}
	return db.Close()
}

// grown are the steps of a later release.
func grown(text string) []step { return append(steps(), step{"later.sql", text}) }

const later = "CREATE TABLE later (n BIGINT NOT NULL); INSERT INTO later SELECT * FROM generate_series(1, 3000)"

func TestStepThatFails(t *testing.T) {
	address := postgrestest.New(t)
	job := begun(t, opened(t, address, t.TempDir()))
	err := openedAs(t, address, append(grown(later), step{"last.sql", "CREATE TABLE third (n BIGINT); CREATE TABLE job (n BIGINT)"}))
	if err == nil || !strings.Contains(err.Error(), "last.sql") {
		t.Fatalf("a step that cannot be done: %v", err)
	}
	var left, version int
	if err := plain(t, address).QueryRow(`SELECT (SELECT count(*) FROM pg_class WHERE relname IN ('later', 'third')),
		(SELECT count(*) FROM gelwright_version)`).Scan(&left, &version); err != nil || left != 0 || version != len(steps()) {
		t.Errorf("it left %d tables and version %d, %v", left, version, err)
	}
	if s, err := opened(t, address, t.TempDir()).StateAt(t.Context(), job, 1); err != nil || string(s.Document) != "[1]" {
		t.Errorf("the job: %+v, %v", s, err)
	}
}

// TestNewerOrForeign opens what a newer release or another program wrote: it says so and changes nothing.
func TestNewerOrForeign(t *testing.T) {
	newer, foreign := postgrestest.New(t), postgrestest.New(t)
	if err := openedAs(t, newer, grown(later)); err != nil {
		t.Fatal(err)
	}
	if _, err := plain(t, foreign).Exec("CREATE TABLE recipes (n BIGINT)"); err != nil {
		t.Fatal(err)
	}
	for address, c := range map[string]struct {
		kind store.Kind
		says string
	}{
		newer: {store.Newer, fmt.Sprintf("written by a newer gelwright (version %d; this program knows %d). Open it with that release",
			len(steps())+1, len(steps()))},
		foreign: {store.Damaged, "it is a database of another program. Give another database"},
	} {
		const count = "SELECT count(*) FROM pg_class"
		var was, now int
		if err := plain(t, address).QueryRow(count).Scan(&was); err != nil {
			t.Fatal(err)
		}
		if err := openedAs(t, address, steps()); store.KindOf(err) != c.kind || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v does not say %q", err, c.says)
		}
		if err := plain(t, address).QueryRow(count).Scan(&now); err != nil || now != was {
			t.Errorf("%d tables and indexes, %d were there, %v", now, was, err)
		}
	}
}

// TestOpenedByManyAtOnce opens a new database, then an old one, by eight at once: each step was made once.
func TestOpenedByManyAtOnce(t *testing.T) {
	address := postgrestest.New(t)
	for _, steps := range [][]step{steps(), grown(later)} {
		done := make(chan error)
		for range 8 {
			go func() { done <- openedAs(t, address, steps) }()
		}
		for range 8 {
			if err := <-done; err != nil {
				t.Error(err)
			}
		}
	}
	var rows int
	if err := plain(t, address).QueryRow("SELECT count(*) FROM later").Scan(&rows); err != nil || rows != 3000 {
		t.Errorf("%d rows, want 3000, %v", rows, err)
	}
}

// TestLeftoversGo opens a database beside whose files a killed run had begun to write, while nobody and while somebody writes.
func TestLeftoversGo(t *testing.T) {
	address, dir := postgrestest.New(t), t.TempDir()
	opened(t, address, dir)
	left := filepath.Join(dir, "files", folder.Temp+"123")
	if err := os.WriteFile(left, []byte("half"), 0o600); err != nil {
		t.Fatal(err)
	}
	tx, err := plain(t, address).Begin()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec("SELECT pg_advisory_xact_lock_shared($1)", int64(sweeping)); err != nil {
		t.Fatal(err)
	}
	opened(t, address, dir)
	if _, err := os.Stat(left); err != nil {
		t.Errorf("what somebody is writing was taken away: %v", err)
	}
	if err := tx.Rollback(); err != nil {
		t.Fatal(err)
	}
	opened(t, address, dir)
	if _, err := os.Stat(left); err == nil {
		t.Errorf("%s is still there", left)
	}
}
