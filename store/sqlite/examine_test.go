package sqlite

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gelwright/store"
	"gelwright/store/folder"
)

// sizes are the files of a folder and how long they are.
func sizes(t *testing.T, dir string) map[string]int64 {
	t.Helper()
	out := map[string]int64{}
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list {
		if info, err := e.Info(); err == nil && !strings.HasSuffix(e.Name(), "-shm") && !strings.HasSuffix(e.Name(), "-wal") {
			out[e.Name()] = info.Size()
		}
	}
	return out
}

// TestExamine looks at a folder that is whole, at one whose database is damaged in the middle of a page, and at what is none.
func TestExamine(t *testing.T) {
	dir, id := begun(t)
	path := filepath.Join(dir, Name)
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	before := sizes(t, dir)
	gist, err := Examine(t.Context(), dir)
	if err != nil || gist.Changed.IsZero() || gist.Changed.After(time.Now().AddDate(50, 0, 0)) || gist.Accounts != 0 {
		t.Errorf("job %s is whole: %v, %+v", id, err, gist)
	}
	if after := sizes(t, dir); len(after) != len(before) || after[Name] != before[Name] {
		t.Errorf("looking changed %v into %v", before, after)
	}
	for _, x := range []struct {
		name string
		make func() []byte
		kind store.Kind
	}{
		{"no database", func() []byte { return []byte(strings.Repeat("no database ", 400)) }, store.Damaged},
		{"a page of zeros", func() []byte { b := bytes.Clone(raw); clear(b[3*4096 : 4*4096]); return b }, store.Damaged},
	} {
		for _, end := range []string{"-wal", "-shm"} {
			os.Remove(path + end)
		}
		if err := os.WriteFile(path, x.make(), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := Examine(t.Context(), dir); store.KindOf(err) != x.kind || !strings.Contains(err.Error(), "copy") {
			t.Errorf("%s: %v", x.name, err)
		}
	}
	if _, err := Examine(t.Context(), t.TempDir()); store.KindOf(err) != store.Unknown {
		t.Errorf("an empty folder: %v", err)
	}
}

// TestExamineFiles reads files and finds the one that was changed.
func TestExamineFiles(t *testing.T) {
	dir, id := begun(t)
	db := opened(t, dir)
	for _, text := range []string{"one", "two", "three"} {
		if _, err := db.PutFile(t.Context(), id, store.NewFile{Name: text, MediaType: "text/plain", When: time.Now(), Who: "Asha", Bytes: []byte(text)}); err != nil {
			t.Fatal(err)
		}
	}
	files := filepath.Join(dir, filesFolder)
	looked, faults := folder.Examine(t.Context(), files, 100)
	if looked < 3 || len(faults) != 0 {
		t.Fatalf("%d were read: %v", looked, faults)
	}
	if few, _ := folder.Examine(t.Context(), files, 2); few != 2 {
		t.Errorf("%d were read of 2", few)
	}
	found, err := filepath.Glob(filepath.Join(files, "*", strings.Repeat("?", 64)))
	if err != nil || len(found) != looked {
		t.Fatalf("%d files, %d were read (%v)", len(found), looked, err)
	}
	if err := os.WriteFile(found[0], []byte("other"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, faults := folder.Examine(t.Context(), files, 100); len(faults) != 1 || store.KindOf(faults[0]) != store.Damaged {
		t.Errorf("faults: %v", faults)
	}
	if looked, faults := folder.Examine(t.Context(), filepath.Join(dir, "none"), 9); looked != 0 || len(faults) != 0 {
		t.Errorf("no folder yet: %d, %v", looked, faults)
	}
}
