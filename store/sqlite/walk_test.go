package sqlite

import (
	"context"
	"os"
	"os/exec"
	"testing"

	"gelwright/store/storetest"
)

func init() { roles["serve"] = serveActs }

// serveActs does what comes in on standard input.
func serveActs(args []string) error {
	db, err := Open(context.Background(), args[0])
	if err != nil {
		return err
	}
	return storetest.Serve(db, os.Stdin, os.Stdout)
}

// TestWalk does 10,000 acts on a folder (400 when short), with kills between and in them, and holds it against a model.
func TestWalk(t *testing.T) {
	steps := 10_000
	if testing.Short() {
		steps = 400
	}
	dir := t.TempDir()
	storetest.Walk(t, steps, 20261, func() *exec.Cmd {
		self, err := os.Executable()
		if err != nil {
			t.Fatal(err)
		}
		c := exec.Command(self)
		c.Env = append(os.Environ(), roleVariable+"=serve", childVariable+"="+dir)
		c.Stderr = os.Stderr
		return c
	})
	sound(t, opened(t, dir))
}
