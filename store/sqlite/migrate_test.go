package sqlite

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

	"gelwright/store"
)

// TestMigrationsAreOnlyAdded holds the text of each migration: one that was given out is never changed.
func TestMigrationsAreOnlyAdded(t *testing.T) {
	given := []struct{ name, sha256 string }{
		{"0001.sql", "d35773cd5f9d0d729b74bd586ee8c32dd623ef93e49276997c9fbe0d46eb6c1a"},
		{"0002_people.sql", "68ee9d573ca44630b626b24172eade6e28fa1cd0611baf4bc3b4fcf57da2bf1b"},
		{"0003_office.sql", "d7a8be5ba2574d98c2269fbc2df9611032c2d9b622aa420a76a6d182ac4744da"},
		{"0005_weather.sql", "2105376705ed9897f332a22fce86caec2a59345c19589ef8695764ed7e6d605e"},
		{"0006_work.sql", "585bbbb44dc1bda6f103d19f247a19315c8659a41ad153fe8488006dbad65d41"},
		{"0007_kept_work.sql", "876a06d45a8b9a172ea614312d675d02c66e2bc91420911fa123c8396dbce1b1"},
		{"0008_daily.sql", "445422e9b86f9bbfbd4b14e5455347bad73edbe659b9f03845eb1d27c4dab09b"},
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
}

// all is every file under a folder with its bytes.
func all(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		out[path] = string(raw)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func versionOf(t *testing.T, path string) (version int) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.QueryRow("PRAGMA user_version").Scan(&version); err != nil {
		t.Fatal(err)
	}
	return version
}

// TestBroughtUpAfterACopy opens a folder as two later releases would, one after the other.
func TestBroughtUpAfterACopy(t *testing.T) {
	ctx := context.Background()
	dir, id := begun(t)
	if found, err := filepath.Glob(filepath.Join(dir, "gelwright-before-*")); err != nil || len(found) > 0 {
		t.Errorf("a new folder has a copy: %v, %v", found, err)
	}
	// An older process that is still there keeps a state that has not reached the database's own file: the copy has it.
	old := opened(t, dir)
	if _, err := old.Append(ctx, id, 1, stateOf(2)); err != nil {
		t.Fatal(err)
	}
	last := append(grown(), step{"9999_last.sql", "ALTER TABLE later ADD COLUMN more TEXT;"})
	for _, steps := range [][]step{grown(), grown(), last} {
		db, err := open(ctx, dir, nil, steps)
		if err != nil {
			t.Fatal(err)
		}
		if s, err := db.StateAt(ctx, id, 2); err != nil || string(s.Document) != string(stateOf(2).Document) {
			t.Errorf("brought up, state 2 is %s, %v", s.Document, err)
		}
		db.Close()
	}
	for name, want := range map[string]int{filepath.Join(dir, Name): here() + 2, before(dir, here()+1): here(), before(dir, here()+2): here() + 1} {
		if got := versionOf(t, name); got != want {
			t.Errorf("%s is of version %d, want %d", name, got, want)
		}
	}
	// The copy is the way back: put in place it is the folder as it was.
	raw, err := os.ReadFile(before(dir, here()+1))
	if err != nil {
		t.Fatal(err)
	}
	back := t.TempDir()
	if err := os.WriteFile(filepath.Join(back, Name), raw, 0o600); err != nil {
		t.Fatal(err)
	}
	holds(t, back, id, told{state: 2}, 1)
}

func TestStepThatFails(t *testing.T) {
	ctx := context.Background()
	dir, id := begun(t)
	_, err := open(ctx, dir, nil, append(grown(), step{"9999_last.sql", "CREATE TABLE third (n); CREATE TABLE job (n);"}))
	if err == nil || !strings.Contains(err.Error(), "9999_last.sql") {
		t.Fatalf("a step that cannot be done: %v", err)
	}
	if got := versionOf(t, filepath.Join(dir, Name)); got != here() {
		t.Errorf("it left version %d", got)
	}
	db := opened(t, dir)
	var tables int
	if err := db.read.QueryRow("SELECT count(*) FROM sqlite_schema WHERE name IN ('later', 'third')").Scan(&tables); err != nil || tables != 0 {
		t.Errorf("it left %d tables, %v", tables, err)
	}
	holds(t, dir, id, told{state: 1}, 1)
}

// TestNewerOrForeign opens what a newer release or another program wrote: it says so and changes nothing.
func TestNewerOrForeign(t *testing.T) {
	ctx := context.Background()
	newer, _ := begun(t)
	db, err := open(ctx, newer, nil, grown())
	if err != nil {
		t.Fatal(err)
	}
	db.Close()
	foreign := t.TempDir()
	other, err := sql.Open("sqlite", filepath.Join(foreign, Name))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := other.Exec("CREATE TABLE recipes (n)"); err != nil {
		t.Fatal(err)
	}
	other.Close()
	junk := t.TempDir()
	if err := os.WriteFile(filepath.Join(junk, Name), []byte(strings.Repeat("no database ", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		dir  string
		kind store.Kind
		says string
	}{
		{newer, store.Newer, fmt.Sprintf("written by a newer gelwright (version %d; this program knows %d). Open it with that release", here()+1, here())},
		{foreign, store.Damaged, "it is a database of another program. Give another folder"},
		{junk, store.Damaged, "is damaged, or is no database"},
	} {
		was := all(t, c.dir)
		_, err := Open(ctx, c.dir)
		if store.KindOf(err) != c.kind || !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), c.dir) {
			t.Errorf("%v does not say %q", err, c.says)
		}
		now := all(t, c.dir)
		for path, raw := range was {
			if now[path] != raw {
				t.Errorf("%s was changed", path)
			}
		}
		if len(now) != len(was) {
			t.Errorf("%d files, %d were there", len(now), len(was))
		}
	}
}

// TestOpenedByManyAtOnce opens a new folder, then an old one, by eight at once: all see one database, one step was made.
func TestOpenedByManyAtOnce(t *testing.T) {
	dir := t.TempDir()
	for _, steps := range [][]step{steps(), grown()} {
		done := make(chan error)
		for range 8 {
			go func() {
				db, err := open(context.Background(), dir, nil, steps)
				if err == nil {
					sound(t, db)
					err = db.Close()
				}
				done <- err
			}()
		}
		for range 8 {
			if err := <-done; err != nil {
				t.Error(err)
			}
		}
	}
	if got := versionOf(t, before(dir, here()+1)); got != here() {
		t.Errorf("the copy is of version %d", got)
	}
	db, err := open(context.Background(), dir, nil, grown())
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var rows int
	if err := db.read.QueryRow("SELECT count(*) FROM later").Scan(&rows); err != nil || rows != 3000 {
		t.Errorf("%d rows, want 3000, %v", rows, err)
	}
}
