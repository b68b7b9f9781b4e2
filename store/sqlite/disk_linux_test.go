package sqlite

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"gelwright/store"
	"gelwright/store/folder"
)

func init() {
	roles["limited"], roles["nobody"], roles["small disk"] = limited, nobody, smallDisk
}

// limited appends until a file would pass a size, which the system refuses as it does on a full disk (EFBIG).
func limited(args []string) error {
	most, err := strconv.ParseUint(args[2], 10, 64)
	if err != nil {
		return err
	}
	signal.Ignore(syscall.SIGXFSZ)
	limit := syscall.Rlimit{Cur: most, Max: most}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	return appendForever(args)
}

// TestDiskThatTakesNoMore lets every file grow to a size and no further, size after size: each time the process says so, all that
// it was told is kept is there, and it goes on once there is room.
func TestDiskThatTakesNoMore(t *testing.T) {
	sizes := 60
	if testing.Short() {
		sizes = 12
	}
	kinds, states := map[string]int{}, 0
	for n := range sizes {
		most := (n*480/sizes + 1) * 1024
		dir, id := begun(t)
		c, out := child(t, "limited", dir, string(id), fmt.Sprint(most))
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		var k told
		said := ""
		for lines := bufio.NewScanner(out); lines.Scan(); {
			said += k.tell(lines.Text())
		}
		if err := c.Wait(); err == nil {
			t.Fatal("the child ended well")
		}
		word, _, _ := strings.Cut(strings.TrimPrefix(said, "error "), " ")
		kinds[word]++
		if kind, err := strconv.Atoi(word); err != nil || store.Kind(kind) != store.Full && store.Kind(kind) != store.Failed {
			t.Errorf("at %d bytes the child said %q", most, said)
		}
		states += holds(t, dir, id, k, 1)
		if left, err := filepath.Glob(filepath.Join(dir, filesFolder, folder.Temp+"*")); err != nil || len(left) > 0 {
			t.Errorf("at %d bytes it left %v, %v", most, left, err)
		}
	}
	if states < 5*sizes {
		t.Errorf("%d states at %d sizes: the disk was full too soon to prove anything", states, sizes)
	}
	t.Logf("kinds of errors %v, %d states", kinds, states)
}

// nobody opens a folder as a user who may not write there.
func nobody(args []string) error {
	if os.Geteuid() == 0 {
		if err := syscall.Setresuid(65534, 65534, 65534); err != nil {
			return err
		}
	}
	db, err := Open(context.Background(), args[0])
	if err != nil {
		return err
	}
	return db.Close()
}

// TestFolderThatMayNotBeWritten opens a new folder and one with jobs.
func TestFolderThatMayNotBeWritten(t *testing.T) {
	kept, id := begun(t)
	for name, dir := range map[string]string{"new": t.TempDir(), "with jobs": kept} {
		// The folders above are the test's own; nobody must be able to come to them.
		for up := dir; up != os.TempDir() && len(up) > 1; up = filepath.Dir(up) {
			if err := os.Chmod(up, 0o755); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.Chmod(dir, 0o555); err != nil {
			t.Fatal(err)
		}
		for _, file := range []string{filepath.Join(dir, Name), filepath.Join(dir, filesFolder)} {
			if err := os.Chmod(file, 0o555); err != nil && !errors.Is(err, os.ErrNotExist) {
				t.Fatal(err)
			}
		}
		c, out := child(t, "nobody", dir)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		said, _ := bufio.NewReader(out).ReadString('\n')
		if err := c.Wait(); err == nil {
			t.Errorf("%s: it was opened", name)
		}
		if !strings.HasPrefix(said, fmt.Sprintf("error %d %s: it may not be written", store.Failed, dir)) || !strings.Contains(said, "permissions") {
			t.Errorf("%s: it said %q", name, said)
		}
		if err := os.Chmod(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	os.Chmod(filepath.Join(kept, Name), 0o600)
	os.Chmod(filepath.Join(kept, filesFolder), 0o700)
	holds(t, kept, id, told{state: 1}, 1)
}

// smallDisk mounts a disk of half a megabyte at a folder, which this process alone sees, fills it with a job, gives it room and
// goes on. It says "skip" where the system lets nobody mount.
func smallDisk(args []string) error {
	dir := args[0]
	if err := errors.Join(syscall.Mount("", "/", "", syscall.MS_REC|syscall.MS_PRIVATE, ""),
		syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=768k")); err != nil {
		fmt.Println("skip", err)
		return nil
	}
	ctx := context.Background()
	db, err := Open(ctx, dir)
	if err != nil {
		return err
	}
	j, err := db.Create(ctx, store.NewJob{First: stateOf(1)})
	if err != nil {
		return err
	}
	if err := appendTo(ctx, db, j.ID); store.KindOf(err) != store.Full || !strings.Contains(err.Error(), "the disk is full") {
		return fmt.Errorf("filling it: %w", err)
	}
	if left, err := filepath.Glob(filepath.Join(dir, filesFolder, folder.Temp+"*")); err != nil || len(left) > 0 {
		return fmt.Errorf("it left %v behind, %w", left, err)
	}
	full, err := db.Get(ctx, j.ID) // what is kept can be read
	if err != nil {
		return err
	}
	if _, err := db.Append(ctx, j.ID, full.Newest, stateOf(full.Newest+1)); err != nil && store.KindOf(err) != store.Full {
		return fmt.Errorf("once more: %w", err)
	}
	if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT, "size=16m"); err != nil {
		return err
	}
	if full, err = db.Get(ctx, j.ID); err != nil {
		return err
	}
	for seq := full.Newest + 1; seq < full.Newest+20; seq++ {
		if _, err := db.Append(ctx, j.ID, seq-1, stateOf(seq)); err != nil {
			return fmt.Errorf("with room again: %w", err)
		}
	}
	for seq := 1; seq < full.Newest+20; seq++ {
		if s, err := db.StateAt(ctx, j.ID, seq); err != nil || string(s.Document) != string(stateOf(seq).Document) {
			return fmt.Errorf("state %d: %w", seq, err)
		}
	}
	var verdict string
	if err := db.read.QueryRow("PRAGMA integrity_check").Scan(&verdict); err != nil || verdict != "ok" {
		return fmt.Errorf("integrity: %s %w", verdict, err)
	}
	fmt.Println("sound", full.Newest)
	return db.Close()
}

// TestFullDisk fills a small disk.
func TestFullDisk(t *testing.T) {
	c, out := child(t, "small disk", t.TempDir())
	c.SysProcAttr = &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWNS}
	if os.Geteuid() != 0 {
		c.SysProcAttr.Cloneflags |= syscall.CLONE_NEWUSER
		c.SysProcAttr.UidMappings = []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getuid(), Size: 1}}
	}
	if err := c.Start(); err != nil {
		t.Skipf("no disk can be mounted here: %v", err)
	}
	said := ""
	var k told
	for lines := bufio.NewScanner(out); lines.Scan(); {
		said += k.tell(lines.Text())
	}
	if err := c.Wait(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	var n int
	switch _, err := fmt.Sscanf(said, "sound %d", &n); {
	case strings.HasPrefix(said, "skip"):
		t.Skipf("no disk can be mounted here: %s", said)
	case err != nil || n < k.state || n < 10:
		t.Errorf("after %d states it said %q", k.state, said)
	}
}
