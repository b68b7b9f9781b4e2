package sqlite

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"gelwright/store/folder"
)

// child starts a test process in a role.
func child(t *testing.T, role string, args ...string) (*exec.Cmd, io.Reader) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self)
	c.Env = append(os.Environ(), roleVariable+"="+role, childVariable+"="+strings.Join(args, "\t"))
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	return c, out
}

// TestKilledWhileItAppends kills a process while it appends states and files, 1,000 times (30 when short), anywhere from its
// first step on: each time all that it had been told is kept is there, and the database is sound. Folders of 50 kills go side by side. On a
// machine too slow for the time that the tests are given the last are left out, and it says so.
func TestKilledWhileItAppends(t *testing.T) {
	kills, folder := 1000, 50
	if testing.Short() {
		kills, folder = 30, 15
	}
	for n := 0; n < kills; n += folder {
		t.Run(fmt.Sprintf("from %d", n), func(t *testing.T) {
			t.Parallel()
			if end, limited := t.Deadline(); limited && time.Until(end) < 2*time.Minute && n > 0 {
				t.Skipf("%d kills are left out: the tests' time is nearly over", folder)
			}
			killAppending(t, folder, rand.New(rand.NewPCG(20261, uint64(1+n))))
		})
	}
}

// killAppending kills processes one after another that append to one folder.
func killAppending(t *testing.T, kills int, draw *rand.Rand) {
	dir, id := begun(t)
	newest := 1
	for range kills {
		var k told
		c, out := child(t, "append", dir, string(id))
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(out)
		for left := draw.IntN(12); left >= 0 && lines.Scan(); left-- {
			if other := k.tell(lines.Text()); other != "" {
				t.Fatalf("the child said %q", other)
			}
		}
		time.Sleep(time.Duration(draw.IntN(3000)) * time.Microsecond)
		if err := c.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for lines.Scan() { // what it had said before it fell
			k.tell(lines.Text())
		}
		if err := c.Wait(); err == nil {
			t.Fatal("the child ended by itself")
		}
		newest = holds(t, dir, id, k, newest)
	}
	holds(t, dir, id, told{}, 1)
	if newest < kills {
		t.Errorf("%d children kept %d states: too few to prove anything", kills, newest)
	}
}

// here is the version of this release.
func here() int { return len(steps()) }

// before is the name of the copy that was made before a version, in a folder.
func before(dir string, version int) string {
	return filepath.Join(dir, fmt.Sprintf("gelwright-before-%d.db", version))
}

// grown is a step that a later release may have: it takes a while, so that it can be killed within.
func grown() []step {
	return append(steps(), step{"9998_later.sql", `CREATE TABLE later (n INTEGER NOT NULL, filler BLOB NOT NULL) STRICT;
		WITH RECURSIVE r (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r WHERE n < 3000) INSERT INTO later SELECT n, randomblob(2000) FROM r;`})
}

// bringUp opens a folder as a later release would.
func bringUp(args []string) error {
	os.Stdout.WriteString("begins\n")
	db, err := open(context.Background(), args[0], nil, grown())
	if err != nil {
		return err
	}
	return db.Close()
}

// TestKilledWhileItBringsUp kills a process while it brings a database up: it is as before or as after, and the copy is whole
// where it is.
func TestKilledWhileItBringsUp(t *testing.T) {
	kills := 50
	if testing.Short() {
		kills = 6
	}
	draw := rand.New(rand.NewPCG(20261, 2))
	var before, after atomic.Int32
	t.Run("kills", func(t *testing.T) {
		for n := range kills {
			wait := time.Duration(draw.IntN(60)) * time.Millisecond
			t.Run(fmt.Sprint(n), func(t *testing.T) {
				t.Parallel()
				if killBringingUp(t, wait) {
					after.Add(1)
				} else {
					before.Add(1)
				}
			})
		}
	})
	t.Logf("killed before the copy was whole %d times, after %d", before.Load(), after.Load())
}

// killBringingUp kills a process some time after it began to bring a database up, and reports whether the copy was whole by then.
func killBringingUp(t *testing.T, wait time.Duration) bool {
	dir, id := begun(t)
	c, out := child(t, "bring up", dir)
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	bufio.NewReader(out).ReadString('\n')
	time.Sleep(wait)
	c.Process.Kill() // it may have ended
	c.Wait()
	raw, err := os.ReadFile(before(dir, here()+1))
	if err == nil {
		aside := t.TempDir()
		if err := os.WriteFile(filepath.Join(aside, Name), raw, 0o600); err != nil {
			t.Fatal(err)
		}
		holds(t, aside, id, told{state: 1}, 1)
	}
	db, err := open(context.Background(), dir, nil, grown())
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	sound(t, db)
	var rows int
	if err := db.read.QueryRow("SELECT count(*) FROM later").Scan(&rows); err != nil || rows != 3000 {
		t.Errorf("brought up, %d rows, %v", rows, err)
	}
	if s, err := db.StateAt(context.Background(), id, 1); err != nil || s.ID != "s1" {
		t.Errorf("state 1: %+v, %v", s.Entry, err)
	}
	if left, err := filepath.Glob(filepath.Join(dir, folder.Temp+"*")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
	return len(raw) > 0
}
