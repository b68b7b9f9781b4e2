package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/authority"
	"gelwright/internal/buckettest"
	"gelwright/internal/postgrestest"
)

// TestBackupRestoreMove takes a folder to a database and back by each command, while it is open: the backups are equal to the last
// byte.
func TestBackupRestoreMove(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	if err := os.CopyFS(in("jobs"), os.DirFS("../../store/sqlite/testdata/kept-1")); err != nil {
		t.Fatal(err)
	}
	server := serveIn(t, in("jobs"))
	said, _ := called(t, exitDone, "backup", "--data", in("jobs"), "--out", in("a.zip"))
	if !strings.Contains(said, "a.zip is written and read again: 2 jobs, 4 states, 1 content of files") {
		t.Errorf("backup: %s", said)
	}
	server.get("")
	address := postgrestest.New(t)
	said, _ = called(t, exitDone, "restore", in("a.zip"), "--database", address, "--data", in("photos"))
	if !strings.Contains(said, "restored, and equal to the backup: 2 jobs") {
		t.Errorf("restore: %s", said)
	}
	called(t, exitDone, "backup", "--database", address, "--data", in("photos"), "--out", in("b.zip"))
	said, _ = called(t, exitDone, "move", "--from", address, "--from-files", in("photos/files"), "--to", in("back"))
	if !strings.Contains(said, "moved, and equal: 2 jobs") || !strings.Contains(said, "use it no more") {
		t.Errorf("move: %s", said)
	}
	if strings.Contains(said, "authority") {
		t.Errorf("a place without an authority: %s", said)
	}
	if err := os.MkdirAll(filepath.Dir(authority.Kept(in("back"))), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(authority.Kept(in("back")), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if said, _ = called(t, exitDone, "backup", "--data", in("back"), "--out", in("c.zip")); !strings.Contains(said, "authority is not in it") {
		t.Errorf("a backup does not say that the authority stays behind: %s", said)
	}
	crowd, photos := postgrestest.New(t), buckettest.New(t)
	called(t, exitDone, "move", "--from", in("back"), "--to", crowd, "--to-files", photos)
	called(t, exitDone, "backup", "--database", crowd, "--files", photos, "--out", in("d.zip"))
	if keys := buckettest.Keys(t, photos); len(keys) != 1 {
		t.Errorf("in the bucket: %v", keys)
	}
	was, err := os.ReadFile(in("a.zip"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"b.zip", "c.zip", "d.zip"} {
		if now, err := os.ReadFile(in(name)); err != nil || !bytes.Equal(now, was) {
			t.Errorf("%s has %d bytes, a.zip %d, %v", name, len(now), len(was), err)
		}
	}
	if info, err := os.Stat(in("a.zip")); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("a backup may be read by others: %v, %v", info.Mode(), err)
	}
	for _, c := range []struct {
		code int
		says string
		args []string
	}{
		{exitFailed, "something is kept there already", []string{"restore", in("a.zip"), "--data", in("back")}},
		{exitFailed, "is there already", []string{"backup", "--data", in("back"), "--out", in("a.zip")}},
		{exitFaults, "it is no backup", []string{"restore", "../../store/sqlite/testdata/kept-1/garage.zip", "--data", in("new")}},
		{exitFaults, "no such backup", []string{"restore", in("none.zip"), "--data", in("new")}},
		{exitUsage, "--data names the folder", []string{"restore", in("a.zip")}},
		{exitUsage, "no jobs are kept there", []string{"move", "--from", in("none"), "--to", in("new")}},
		{exitUsage, "give both", []string{"move", "--from", in("back")}},
		{exitUsage, "--out names the file", []string{"backup", "--data", in("back")}},
	} {
		if _, errs := called(t, c.code, c.args...); !strings.Contains(errs, c.says) {
			t.Errorf("%v: %s", c.args, errs)
		}
	}
	if _, err := os.Stat(in("new")); err == nil {
		t.Error("what was refused made a folder")
	}
}
