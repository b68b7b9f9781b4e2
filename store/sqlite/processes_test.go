package sqlite

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"testing"

	"gelwright/store"
)

func init() { roles["take turns"] = takeTurns }

// takeTurns appends twenty states of its own to a job that others append to as well, each on top of whatever is newest.
func takeTurns(args []string) error {
	ctx := context.Background()
	db, err := Open(ctx, args[0])
	if err != nil {
		return err
	}
	based := 1
	for n := range 20 {
		s := stateOf(2)
		s.ID = fmt.Sprintf("%s-%d", args[2], n)
		for {
			seq, err := db.Append(ctx, store.ID(args[1]), based, s)
			if err == nil {
				based = seq
				break
			}
			var e *store.Error
			if !errors.As(err, &e) || e.Kind != store.Conflict {
				return err
			}
			based = e.Newest
		}
	}
	return db.Close()
}

// TestProcessesTakeTurns has three processes append to one job, while this one reads it: all is there once, and each reading is a
// chain that goes on where the one before ended.
func TestProcessesTakeTurns(t *testing.T) {
	ctx := context.Background()
	dir, id := begun(t)
	db := opened(t, dir)
	const processes, each = 3, 20
	ended := make(chan error, processes)
	for p := range processes {
		c, out := child(t, "take turns", dir, string(id), fmt.Sprint("p", p))
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		go func() {
			said, _ := bufio.NewReader(out).ReadString('\n')
			err := c.Wait()
			if said != "" {
				err = errors.Join(err, errors.New(said))
			}
			ended <- err
		}()
	}
	was := 1
	for left := processes; left > 0; {
		select {
		case err := <-ended:
			left--
			if err != nil {
				t.Error(err)
			}
		default:
			j, err := db.Get(ctx, id)
			if err != nil || j.Newest < was {
				t.Fatalf("%d states after %d, %v", j.Newest, was, err)
			}
			was = j.Newest
			if _, err := db.StateAt(ctx, id, was); err != nil {
				t.Fatal(err)
			}
		}
	}
	history, err := db.History(ctx, id, 0, store.MostHistory)
	if err != nil || len(history) != 1+processes*each {
		t.Fatalf("%d states, want %d, %v", len(history), 1+processes*each, err)
	}
	seen := map[string]bool{}
	for _, e := range history {
		if seen[e.ID] {
			t.Errorf("%s is there twice", e.ID)
		}
		seen[e.ID] = true
	}
	sound(t, db)
}
