package main

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gelwright/internal/postgrestest"
	"gelwright/people"
	"gelwright/store"
	"gelwright/store/backup"
	"gelwright/store/postgres"
	"gelwright/store/tables"
)

// spoiled is a backup that is whole by its own word, but holds its last job twice: it can be read, and not be put in.
func spoiled(t *testing.T, from, to string) {
	t.Helper()
	r, err := zip.OpenReader(from)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	var twice []byte
	for _, f := range r.File { // the manifest is the last
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		switch f.Name {
		case "tables/deed.jsonl":
			lines := strings.SplitAfter(strings.TrimSuffix(string(raw), "\n"), "\n")
			raw = append(raw, lines[len(lines)-1]+"\n"...)
			twice = raw
		case "backup.json":
			var m backup.Manifest
			if err := json.Unmarshal(raw, &m); err != nil {
				t.Fatal(err)
			}
			for i := range m.Tables {
				if m.Tables[i].Name == "deed" {
					sum := sha256.Sum256(twice)
					m.Tables[i].Rows++
					m.Tables[i].Size, m.Tables[i].SHA256 = int64(len(twice)), hex.EncodeToString(sum[:])
				}
			}
			if raw, err = json.Marshal(m); err != nil {
				t.Fatal(err)
			}
		}
		w, err := z.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(raw); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}

// withPass puts a session into a folder of jobs, and gives the hash that finds it.
func withPass(t *testing.T, dir string) string {
	t.Helper()
	at := time.Date(2026, 5, 11, 9, 0, 0, 0, time.UTC)
	hash := people.HashOf("a secret")
	if err := withJobs(t.Context(), &keeping{data: dir}, false, func(db *tables.DB) error {
		return db.AddPass(t.Context(), people.Pass{ID: string(store.NewID()), Hash: hash, Kind: people.Session, Made: at,
			Ends: at.AddDate(1, 0, 0)}, people.Deed{When: at, Kind: "signed in", ByName: "Asha"})
	}); err != nil {
		t.Fatal(err)
	}
	return hash
}

// ended reports whether a pass has ended in a place.
func ended(t *testing.T, where *keeping, hash string) bool {
	t.Helper()
	var p people.Pass
	if err := withJobs(t.Context(), where, false, func(db *tables.DB) (err error) {
		p, _, err = db.PassOf(t.Context(), hash)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return !p.Ended.IsZero()
}

// TestARestoreThatFailsLeavesNothing, and one that does not lets nobody in who was sent away since the backup.
func TestARestoreThatFailsLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	if err := os.CopyFS(in("jobs"), os.DirFS("../../store/sqlite/testdata/kept-1")); err != nil {
		t.Fatal(err)
	}
	hash := withPass(t, in("jobs"))
	called(t, exitDone, "backup", "--data", in("jobs"), "--out", in("a.zip"))
	spoiled(t, in("a.zip"), in("bad.zip"))
	address, photos := postgrestest.New(t), in("photos")
	if err := os.Mkdir(in("there"), 0o700); err != nil {
		t.Fatal(err)
	}
	called(t, exitFailed, "restore", in("bad.zip"), "--data", in("new"))
	called(t, exitFailed, "restore", in("bad.zip"), "--data", in("there"))
	called(t, exitFailed, "restore", in("bad.zip"), "--database", address, "--data", photos)
	if _, err := os.Stat(in("new")); !os.IsNotExist(err) {
		t.Errorf("a folder is left: %v", err)
	}
	if left, err := os.ReadDir(in("there")); err != nil || len(left) != 0 {
		t.Errorf("in the folder are left %v (%v)", left, err)
	}
	if empty, err := postgres.Empty(t.Context(), address); err != nil || !empty {
		t.Errorf("tables are left in the database (%v)", err)
	}
	// The same places take the whole one.
	for _, where := range []*keeping{{data: in("new")}, {data: in("there")}, {database: address, files: in("photos/files")}} {
		args := []string{"restore", in("a.zip")}
		for flag, value := range map[string]string{"--data": where.data, "--database": where.database, "--files": where.files} {
			if value != "" {
				args = append(args, flag, value)
			}
		}
		if said, _ := called(t, exitDone, args...); !strings.Contains(said, "2 jobs") || !strings.Contains(said, "1 session, token or link ended") {
			t.Errorf("%v: %s", args, said)
		}
		if !ended(t, where, hash) {
			t.Errorf("%v: who was let in before the backup is let in", args)
		}
	}
	if left, err := filepath.Glob(in("*/" + restoring)); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v (%v)", left, err)
	}
	called(t, exitDone, "restore", in("a.zip"), "--data", in("kept"), "--keep-passes")
	if ended(t, &keeping{data: in("kept")}, hash) {
		t.Error("passes that were to stay have ended")
	}
}
