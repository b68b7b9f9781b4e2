package sqlite

import (
	"context"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"gelwright/store"
)

// roleVariable names what a test process is to do in place of tests; its further arguments are in childVariable, parted by tabs.
const (
	roleVariable  = "GELWRIGHT_STORE_ROLE"
	childVariable = "GELWRIGHT_STORE_CHILD"
)

// roles are what a child process can be asked to do; those of one system add themselves.
var roles = map[string]func(args []string) error{"append": appendForever, "bring up": bringUp}

func TestMain(m *testing.M) {
	if role := os.Getenv(roleVariable); role != "" {
		if err := roles[role](strings.Split(os.Getenv(childVariable), "\t")); err != nil {
			fmt.Printf("error %d %v\n", store.KindOf(err), err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	// Tests that run side by side wait for children and for the disk far more than for a processor. What the
	// command line says goes over it: it is read later.
	if err := flag.Set("test.parallel", sideBySide); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// sideBySide is how many tests run at once, unless the command line says it.
const sideBySide = "8"

// morning is when the tests begin; they read no clock.
var morning = time.Date(2026, 5, 20, 7, 30, 0, 0, time.UTC)

// stateOf is the state that stands at seq in the tests, made again from its number. Some are long, some come twice.
func stateOf(seq int) store.NewState {
	document := fmt.Sprintf(`{"deck": %d, "edges": [%s1]}`, seq-seq%3, strings.Repeat(fmt.Sprintf("%d, ", seq*7919), seq%5*400))
	s := store.NewState{Mark: store.Mark{ID: fmt.Sprint("s", seq), When: morning.Add(time.Duration(seq) * time.Second), Who: "this computer",
		What: "corner moved"}, Document: []byte(document)}
	if seq == 1 {
		s.Title = "Garage"
	}
	return s
}

// pixelsOf is the file that goes with a state.
func pixelsOf(seq int) store.NewFile {
	return store.NewFile{Name: fmt.Sprintf("photo-%d.jpg", seq), MediaType: "image/jpeg", When: morning, Who: "phone",
		Bytes: []byte(strings.Repeat(fmt.Sprint(seq, " "), 5000))}
}

// appendForever appends states to a job, a file with every fourth, and says each number once it is kept.
func appendForever(args []string) error {
	ctx := context.Background()
	db, err := Open(ctx, args[0])
	if err != nil {
		return err
	}
	return appendTo(ctx, db, store.ID(args[1]))
}

func appendTo(ctx context.Context, db *DB, id store.ID) error {
	job, err := db.Get(ctx, id)
	if err != nil {
		return err
	}
	for seq := job.Newest + 1; ; seq++ {
		if seq%4 == 0 {
			if _, err := db.PutFile(ctx, id, pixelsOf(seq)); err != nil {
				return err
			}
			fmt.Println("file", seq)
		}
		if _, err := db.Append(ctx, id, seq-1, stateOf(seq)); err != nil {
			return err
		}
		fmt.Println("state", seq)
	}
}

// told are the numbers that a child said are kept.
type told struct{ state, file int }

// tell takes a line of a child; another is given back.
func (k *told) tell(line string) string {
	var n int
	if _, err := fmt.Sscanf(line, "state %d", &n); err == nil {
		k.state = max(k.state, n)
		return ""
	}
	if _, err := fmt.Sscanf(line, "file %d", &n); err == nil {
		k.file = max(k.file, n)
		return ""
	}
	return line
}

// holds fails unless all that was told is there as it was given, states from number from on, and the database is sound.
func holds(t *testing.T, dir string, id store.ID, k told, from int) (newest int) {
	t.Helper()
	ctx := context.Background()
	db, err := Open(ctx, dir)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	sound(t, db)
	job, err := db.Get(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	if job.Newest < k.state {
		t.Fatalf("state %d was told to be kept, the newest is %d", k.state, job.Newest)
	}
	for seq := max(1, from); seq <= job.Newest; seq++ {
		s, err := db.StateAt(ctx, id, seq)
		if want := stateOf(seq); err != nil || string(s.Document) != string(want.Document) || s.ID != want.ID {
			t.Fatalf("state %d of %d is %q %.60s, %v", seq, job.Newest, s.ID, s.Document, err)
		}
	}
	for seq := 4; seq <= max(k.file, job.Newest); seq += 4 {
		if seq < from {
			continue
		}
		_, raw, err := db.ReadFile(ctx, id, pixelsOf(seq).Name)
		if err != nil || string(raw) != string(pixelsOf(seq).Bytes) {
			t.Fatalf("the file of state %d has %d bytes, %v", seq, len(raw), err)
		}
	}
	return job.Newest
}

// sound asks the database whether it is.
func sound(t *testing.T, db *DB) {
	t.Helper()
	for _, ask := range []string{"PRAGMA integrity_check", "PRAGMA foreign_key_check"} {
		rows, err := db.read.Query(ask)
		if err != nil {
			t.Fatal(err)
		}
		for rows.Next() {
			var found string
			if err := rows.Scan(&found); err != nil || found != "ok" {
				t.Errorf("%s: %s %v", ask, found, err)
			}
		}
		if err := rows.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// begun is a job of one state in a new folder.
func begun(t *testing.T) (dir string, id store.ID) {
	t.Helper()
	dir = t.TempDir()
	db, err := Open(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	j, err := db.Create(context.Background(), store.NewJob{First: stateOf(1)})
	if err != nil {
		t.Fatal(err)
	}
	return dir, j.ID
}
