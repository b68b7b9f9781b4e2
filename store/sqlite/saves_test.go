package sqlite

import (
	"context"
	"os"
	"os/exec"
	"testing"

	"gelwright/store"
	"gelwright/store/storetest"
)

func init() { roles["save"] = saveForever }

func saveForever(args []string) error {
	db, err := Open(context.Background(), args[0])
	if err != nil {
		return err
	}
	return storetest.Save(db, os.Stdout, 0)
}

// TestKilledWhileFourSave kills a process in the middle of 1,000 saves of four at once (60 when short).
func TestKilledWhileFourSave(t *testing.T) {
	dir := t.TempDir()
	storetest.Saves(t, few(20), 20261, func() *exec.Cmd {
		c, _ := child(t, "save", dir)
		c.Stdout = nil
		return c
	}, nil, func() store.Store {
		db, err := Open(context.Background(), dir)
		if err != nil {
			t.Fatal(err)
		}
		sound(t, db)
		return db
	})
}

// few is an eighth of what is done when tests are short.
func few(kills int) int {
	if testing.Short() {
		return kills / 8
	}
	return kills
}
