package sqlite

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/store"
	"gelwright/store/folder"
)

// TestWhatIsDamagedIsSaid changes bytes behind the store's back.
func TestWhatIsDamagedIsSaid(t *testing.T) {
	ctx := context.Background()
	dir, id := begun(t)
	db := opened(t, dir)
	f, err := db.PutFile(ctx, id, pixelsOf(1))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, filesFolder, f.SHA256[:2], f.SHA256)
	if err := os.WriteFile(path, []byte("other pixels"), 0o600); err != nil {
		t.Fatal(err)
	}
	says := func(err error, words string) {
		t.Helper()
		if store.KindOf(err) != store.Damaged || !strings.Contains(err.Error(), words) {
			t.Errorf("%v does not say %q", err, words)
		}
	}
	_, _, err = db.ReadFile(ctx, id, f.Name)
	says(err, path+": its bytes are not those that were written")
	says(db.Export(ctx, id, &bytes.Buffer{}), "its bytes are not those")
	os.Remove(path)
	_, _, err = db.ReadFile(ctx, id, f.Name)
	says(err, path+": it is missing")
	// The same bytes, kept once more under another name, mend it, missing or changed.
	if err := os.WriteFile(path, []byte("other pixels"), 0o600); err != nil {
		t.Fatal(err)
	}
	again := pixelsOf(1)
	again.Name = "again.jpg"
	if _, err := db.PutFile(ctx, id, again); err != nil {
		t.Fatal(err)
	}
	if _, raw, err := db.ReadFile(ctx, id, f.Name); err != nil || !bytes.Equal(raw, again.Bytes) {
		t.Errorf("mended: %d bytes, %v", len(raw), err)
	}
	for _, change := range []string{"packed = x'00'", "packed = substr(packed, 1, length(packed) - 3)", "size = size - 1", "size = size + 1"} {
		if _, err := db.write.Exec("CREATE TEMP TABLE was AS SELECT * FROM text; DROP TRIGGER IF EXISTS text_stays; UPDATE text SET " + change); err != nil {
			t.Fatal(err)
		}
		_, err := db.StateAt(ctx, id, 1)
		says(err, "is not as it was written")
		if _, err := db.write.Exec("UPDATE text SET size = was.size, packed = was.packed FROM was WHERE was.id = text.id; DROP TABLE was"); err != nil {
			t.Fatal(err)
		}
	}
	holds(t, dir, id, told{state: 1}, 1)
}

// TestNothingIsChangedOrDeleted asks the database itself to.
func TestNothingIsChangedOrDeleted(t *testing.T) {
	dir, id := begun(t)
	db := opened(t, dir)
	if _, err := db.PutFile(context.Background(), id, pixelsOf(1)); err != nil {
		t.Fatal(err)
	}
	for _, ask := range []string{"UPDATE state SET who = 'x'", "DELETE FROM state", "UPDATE text SET size = 1", "DELETE FROM text",
		"UPDATE file SET name = 'x'", "DELETE FROM file", "DELETE FROM job",
		"INSERT INTO file SELECT '00000000000000000000000000000000', name, media_type, when_ms, who, size, hash FROM file"} {
		if _, err := db.write.Exec(ask); err == nil {
			t.Errorf("%s was done", ask)
		}
	}
	holds(t, dir, id, told{state: 1}, 1)
}

// TestLeftoversGo opens a folder in which a killed run had begun to write.
func TestLeftoversGo(t *testing.T) {
	dir, id := begun(t)
	left := []string{filepath.Join(dir, folder.Temp+"copy-2.db"), filepath.Join(dir, filesFolder, folder.Temp+"123")}
	for _, path := range left {
		if err := os.WriteFile(path, []byte("half"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	holds(t, dir, id, told{state: 1}, 1)
	for _, path := range left {
		if _, err := os.Stat(path); err == nil {
			t.Errorf("%s is still there", path)
		}
	}
}

// TestSettings holds what done rests on: WAL, synchronous FULL (2), foreign keys, and readers that only read.
func TestSettings(t *testing.T) {
	dir, _ := begun(t)
	db := opened(t, dir)
	for ask, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "busy_timeout": "20000",
		"trusted_schema": "0", "query_only": "0"} {
		var got string
		if err := db.write.QueryRow("PRAGMA " + ask).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %s, want %s, %v", ask, got, want, err)
		}
	}
	if _, err := db.read.Exec("DELETE FROM file"); err == nil {
		t.Error("a reader may write")
	}
	if kept, err := Kept(dir); err != nil || !kept {
		t.Errorf("kept: %v, %v", kept, err)
	}
	if kept, err := Kept(t.TempDir()); err != nil || kept {
		t.Errorf("an empty folder: kept %v, %v", kept, err)
	}
}

// TestOddFolders opens folders whose names mean something to others.
func TestOddFolders(t *testing.T) {
	for _, name := range []string{"a b", "100%", "what?mode=memory", "a#b", "Öl", "a/b/c", "%20", "file:x"} {
		dir := filepath.Join(t.TempDir(), name)
		db, err := Open(context.Background(), dir)
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		db.Close()
		if _, err := os.Stat(filepath.Join(dir, Name)); err != nil {
			t.Errorf("%q: %v", name, err)
		}
	}
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(context.Background(), file); store.KindOf(err) != store.Failed {
		t.Errorf("a file for a folder: %v", err)
	}
}
