package sqlite

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gelwright/store"
)

// keep writes the folder of this release anew; it is done once a release and never again: `go test ./store/sqlite -run KeptOf -keep`.
var keepRelease = flag.Bool("keep", false, "write the folder of this release, where there is none yet")

// release is the folder that this release wrote; those of earlier ones stay beside it and are opened too.
const release = "testdata/kept-1"

// kept1 is what was kept in testdata/kept-1 and must be read for ever.
func kept1(ctx context.Context, db *DB) error {
	const garage, annexe = store.ID("0123456789abcdef0123456789abcdef"), store.ID("fedcba9876543210fedcba9876543210")
	at := time.Date(2026, 5, 20, 7, 30, 0, 5e6, time.UTC)
	mark := func(id, what string) store.Mark {
		return store.Mark{ID: id, When: at, Who: "this computer", What: what}
	}
	if _, err := db.Create(ctx, store.NewJob{ID: garage, First: store.NewState{Mark: mark("a1", "begun"), Title: "Garage", Site: "1 Lower Mill",
		Document: []byte("{\n \"deck\": [[0, 0], [6, 0], [6, 3]]\n}\n")}}); err != nil {
		return err
	}
	if _, err := db.Append(ctx, garage, 1, store.NewState{Mark: mark("a2", "corner moved"), Title: "Garage at the mill", Site: "1 Lower Mill",
		Document: []byte("{\n \"deck\": [[0, 0], [6.2, 0], [6.2, 3]]\n}\n"), Change: []byte(`{"kind": "moved"}`)}); err != nil {
		return err
	}
	if _, err := db.PutFile(ctx, garage, store.NewFile{Name: "verge.jpg", MediaType: "image/jpeg", When: at, Who: "phone",
		Bytes: []byte("pixels of the verge")}); err != nil {
		return err
	}
	if _, err := db.Restore(ctx, garage, 1, 2, mark("a3", "back to the first")); err != nil {
		return err
	}
	if _, err := db.Copy(ctx, garage, store.CopyOrder{ID: annexe, Title: "Two outlets", Mark: mark("b1", "another way"), Alternative: true}); err != nil {
		return err
	}
	return db.Retire(ctx, annexe, store.Retirement{When: at, Who: "phone"})
}

// TestKeptOfThisRelease opens a folder that was written when this release was made, and imports a job that it exported: they
// hold what was put in, to the byte.
func TestKeptOfThisRelease(t *testing.T) {
	ctx := context.Background()
	if _, err := os.Stat(release); err != nil && *keepRelease {
		writeRelease(t)
	}
	fresh := opened(t, t.TempDir())
	if err := kept1(ctx, fresh); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(release)); err != nil {
		t.Fatal(err)
	}
	old := opened(t, dir)
	sound(t, old)
	page, err := fresh.List(ctx, store.Ask{Retired: true})
	if err != nil || len(page.Jobs) != 2 {
		t.Fatalf("%d jobs, %v", len(page.Jobs), err)
	}
	for _, j := range page.Jobs {
		var want, got bytes.Buffer
		if err := fresh.Export(ctx, j.ID, &want); err != nil {
			t.Fatal(err)
		}
		if err := old.Export(ctx, j.ID, &got); err != nil || !bytes.Equal(want.Bytes(), got.Bytes()) {
			t.Errorf("%s: the old folder holds it otherwise, %v", j.Title, err)
		}
	}
	// It goes on, and an export of that release comes in beside.
	garage := page.Jobs[0].ID
	if page.Jobs[0].Title != "Garage" {
		garage = page.Jobs[1].ID
	}
	if seq, err := old.Append(ctx, garage, 3, store.NewState{Mark: store.Mark{ID: "a4", When: morning, Who: "phone"}, Document: []byte("4")}); err != nil || seq != 4 {
		t.Errorf("going on: %d, %v", seq, err)
	}
	raw, err := os.ReadFile(filepath.Join(release, "garage.zip"))
	if err != nil {
		t.Fatal(err)
	}
	empty := opened(t, t.TempDir())
	j, err := empty.Import(ctx, bytes.NewReader(raw), int64(len(raw)))
	if err != nil || j.ID != garage || j.Newest != 3 {
		t.Fatalf("imported: %+v, %v", j, err)
	}
	s, err := empty.StateAt(ctx, garage, 2)
	if err != nil || string(s.Change) != `{"kind": "moved"}` || !strings.Contains(string(s.Document), "6.2") || s.Title != "Garage at the mill" {
		t.Errorf("state 2: %+v, %v", s, err)
	}
	if _, pixels, err := empty.ReadFile(ctx, garage, "verge.jpg"); err != nil || string(pixels) != "pixels of the verge" {
		t.Errorf("file: %q, %v", pixels, err)
	}
}

func writeRelease(t *testing.T) {
	t.Helper()
	ctx := context.Background()
	db, err := Open(ctx, release)
	if err != nil {
		t.Fatal(err)
	}
	if err := kept1(ctx, db); err != nil {
		t.Fatal(err)
	}
	out, err := os.Create(filepath.Join(release, "garage.zip"))
	if err != nil {
		t.Fatal(err)
	}
	if err := db.Export(ctx, "0123456789abcdef0123456789abcdef", out); err != nil {
		t.Fatal(err)
	}
	out.Close()
	db.Close()
}

// FuzzImport gives anything: nothing of what is refused is kept, and what is taken is a whole job.
func FuzzImport(f *testing.F) {
	raw, err := os.ReadFile(filepath.Join(release, "garage.zip"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(raw)
	f.Add(raw[:len(raw)/2])
	f.Add([]byte("no zip"))
	ctx := context.Background()
	dir := f.TempDir()
	db := opened(f, dir)
	f.Fuzz(func(t *testing.T, raw []byte) {
		before, err := db.List(ctx, store.Ask{Retired: true, Size: 1})
		if err != nil {
			t.Fatal(err)
		}
		taken := 1
		j, err := db.Import(ctx, bytes.NewReader(raw), int64(len(raw)))
		if err != nil {
			taken = 0
			if k := store.KindOf(err); k != store.Damaged && k != store.Newer && k != store.TooLarge {
				t.Fatalf("refused as of kind %d: %v", k, err)
			}
		} else if err := db.Export(ctx, j.ID, &bytes.Buffer{}); err != nil {
			t.Fatalf("what was imported cannot be exported: %v", err)
		}
		after, err := db.List(ctx, store.Ask{Retired: true, Size: 1})
		if err != nil || after.Total != before.Total+taken {
			t.Fatalf("%d jobs after %d, %v", after.Total, before.Total, err)
		}
	})
}
