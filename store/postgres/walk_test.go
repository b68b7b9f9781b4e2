package postgres

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"gelwright/internal/postgrestest"
	"gelwright/store/folder"
	"gelwright/store/storetest"
)

// A test process that these name does a part in place of tests: on the database at the address, files in the folder.
const (
	roleVariable    = "GELWRIGHT_STORE_ROLE"
	addressVariable = "GELWRIGHT_STORE_ADDRESS"
	folderVariable  = "GELWRIGHT_STORE_FOLDER"
)

// roles are the parts; the database is open.
var roles = map[string]func(db *DB) error{
	"serve": func(db *DB) error { return storetest.Serve(db, os.Stdin, os.Stdout) },
}

func TestMain(m *testing.M) {
	if role := os.Getenv(roleVariable); role != "" {
		if err := play(role); err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func play(role string) error {
	files, err := folder.Open(filepath.Join(os.Getenv(folderVariable), "files"))
	if err != nil {
		return err
	}
	for until := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
		db, err := Open(context.Background(), os.Getenv(addressVariable), files, 0)
		if err == nil {
			return roles[role](db)
		}
		if time.Now().After(until) {
			return err
		}
	}
}

// child is a process that plays a part, not yet started.
func child(t *testing.T, role, address, dir string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self)
	c.Env = append(os.Environ(), roleVariable+"="+role, addressVariable+"="+address, folderVariable+"="+dir)
	c.Stderr = os.Stderr
	return c
}

// TestWalk does 10,000 acts on a database (400 when short), with kills between and in them, and holds it against a model.
func TestWalk(t *testing.T) {
	steps := 10_000
	if testing.Short() {
		steps = 400
	}
	address, dir := postgrestest.New(t), t.TempDir()
	storetest.Walk(t, steps, 20261, func() *exec.Cmd { return child(t, "serve", address, dir) })
}
