package postgres

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"gelwright/internal/postgrestest"
	"gelwright/store"
	"gelwright/store/folder"
	"gelwright/store/storetest"
)

// patience is how long a saver asks again while its server is away.
const patience = time.Minute

func init() {
	roles["save"] = func(db *DB) error { return storetest.Save(db, os.Stdout, patience) }
}

// TestKilledWhileFourSave kills a process in the middle of 1,000 saves of four at once (60 when short).
func TestKilledWhileFourSave(t *testing.T) { killSaving(t, postgrestest.New(t), few(20), nil) }

// TestServerKilledWhileFourSave kills the server with all its processes in the middle of 1,000 saves (60 when short), and starts it
// again: the program asks again, and goes on.
func TestServerKilledWhileFourSave(t *testing.T) {
	address, crash := postgrestest.Own(t)
	killSaving(t, address, few(8), crash)
}

func killSaving(t *testing.T, address string, kills int, breaks func()) {
	dir := t.TempDir()
	storetest.Saves(t, kills, 20261, func() *exec.Cmd { return child(t, "save", address, dir) }, breaks, func() store.Store {
		files, err := folder.Open(filepath.Join(dir, "files"))
		if err != nil {
			t.Fatal(err)
		}
		for until := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
			db, err := Open(context.Background(), address, files, 0)
			if err == nil {
				return db
			}
			if time.Now().After(until) {
				t.Fatal(err)
			}
		}
	})
}

// few is an eighth of what is done when tests are short.
func few(kills int) int {
	if testing.Short() {
		return kills / 8
	}
	return kills
}
