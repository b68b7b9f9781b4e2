package backup_test

import (
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"

	"gelwright/internal/postgrestest"
	"gelwright/store"
	"gelwright/store/folder"
	"gelwright/store/postgres"
	"gelwright/store/sqlite"
	"gelwright/store/tables"
)

// forms are the tables of a store with their keys and columns.
func forms(t *testing.T, db *tables.DB) (map[string][]tables.Column, error) {
	t.Helper()
	out := map[string][]tables.Column{}
	err := db.Snapshot(t.Context(), func(s *tables.Snapshot) error {
		for _, c := range s.Tables {
			var err error
			if out[c.Name+" by "+c.Key], err = s.Columns(t.Context(), c); err != nil {
				return err
			}
		}
		return nil
	})
	return out, err
}

// TestEveryTableIsCarried holds both databases to the list of tables that go with a backup: the same tables and columns in the same
// order, ordered by their primary keys; a table that nobody listed fails the backup, and so this test.
func TestEveryTableIsCarried(t *testing.T) {
	dir, address := t.TempDir(), postgrestest.New(t)
	folderDB, err := sqlite.Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer folderDB.Close()
	files, err := folder.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	serverDB, err := postgres.Open(t.Context(), address, files, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer serverDB.Close()
	a, err := forms(t, folderDB.DB)
	if err != nil {
		t.Fatalf("a table of SQLite: %v", err)
	}
	b, err := forms(t, serverDB.DB)
	if err != nil {
		t.Fatalf("a table of PostgreSQL: %v", err)
	}
	if d := cmp.Diff(a, b); d != "" {
		t.Errorf("the databases have other columns (-SQLite +PostgreSQL):\n%s", d)
	}
	server, err := sql.Open("pgx", address)
	if err != nil {
		t.Fatal(err)
	}
	defer server.Close()
	for form := range a {
		name, key, _ := strings.Cut(form, " by ")
		var primary string
		if err := server.QueryRow(`SELECT string_agg(a.attname, ', ' ORDER BY array_position(i.indkey::int2[], a.attnum))
			FROM pg_index i JOIN pg_attribute a ON a.attrelid = i.indrelid AND a.attnum = ANY (i.indkey)
			WHERE i.indisprimary AND i.indrelid = $1::regclass`, name).Scan(&primary); err != nil || primary != key {
			t.Errorf("table %s is carried in the order of %s, its primary key is %s, %v", name, key, primary, err)
		}
	}
	var otherwise string
	if err := server.QueryRow(`SELECT coalesce(string_agg(table_name || '.' || column_name, ', '), '') FROM information_schema.columns
		WHERE table_schema = current_schema() AND data_type = 'text' AND collation_name IS DISTINCT FROM 'C'
		AND table_name <> 'gelwright_version'`).Scan(&otherwise); err != nil || otherwise != "" {
		t.Errorf("not compared by their bytes, as SQLite does (COLLATE \"C\"): %s, %v", otherwise, err)
	}
	// What nobody listed is told.
	local, err := sql.Open("sqlite", filepath.Join(dir, sqlite.Name))
	if err != nil {
		t.Fatal(err)
	}
	defer local.Close()
	for db, plain := range map[*tables.DB]*sql.DB{folderDB.DB: local, serverDB.DB: server} {
		if _, err := plain.Exec("CREATE TABLE forgotten (id INTEGER PRIMARY KEY)"); err != nil {
			t.Fatal(err)
		}
		if _, err := forms(t, db); err == nil || !strings.Contains(err.Error(), "forgotten is not known to backups") {
			t.Errorf("a table that nobody listed: %v", err)
		}
	}
}

// TestOfAnOlderRelease backs up what an older release kept, at its version, restores it and opens it with this one.
func TestOfAnOlderRelease(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../sqlite/testdata/kept-1")); err != nil {
		t.Fatal(err)
	}
	old, err := sqlite.OpenAt(t.Context(), dir, nil, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer old.Close()
	raw := written(t, old.DB)
	address, bytesAt := postgrestest.New(t), t.TempDir()
	files, err := folder.Open(bytesAt)
	if err != nil {
		t.Fatal(err)
	}
	filled := restored(t, raw, func(_ *testing.T, version int) *tables.DB {
		if version != 1 {
			t.Errorf("it is of version %d", version)
		}
		db, err := postgres.Open(t.Context(), address, files, version)
		if err != nil {
			t.Fatal(err)
		}
		return db.DB
	})
	if err := filled.Close(); err != nil {
		t.Fatal(err)
	}
	now, err := postgres.Open(t.Context(), address, files, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer now.Close()
	const garage = store.ID("0123456789abcdef0123456789abcdef")
	if j, err := now.Get(t.Context(), garage); err != nil || j.Newest != 3 {
		t.Errorf("%+v, %v", j, err)
	}
	if _, pixels, err := now.ReadFile(t.Context(), garage, "verge.jpg"); err != nil || string(pixels) != "pixels of the verge" {
		t.Errorf("%q, %v", pixels, err)
	}
	if _, err := sqlite.OpenAt(t.Context(), t.TempDir(), nil, 99); store.KindOf(err) != store.Newer {
		t.Errorf("version 99: %v", err)
	}
}
