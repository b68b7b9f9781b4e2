package storetest

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"gelwright/store"
)

// savers save at once, each into a job of its own.
const savers = 4

// saverJob is the job that a saver saves into.
func saverJob(n int) store.ID { return store.ID(fmt.Sprintf("%032x", n+1)) }

// saved is the state that a saver keeps at seq, made again from its number; some are long.
func saved(n, seq int) store.NewState {
	s := store.NewState{Mark: store.Mark{ID: fmt.Sprint("s", seq), When: Day.Add(time.Duration(seq) * time.Second), Who: "phone"},
		Document: fmt.Appendf(nil, `[%d, "%s"]`, n*1000+seq, strings.Repeat(fmt.Sprint(seq, " "), seq%7*200))}
	if seq == 1 {
		s.Title = "Garage"
	}
	return s
}

func savedPhoto(seq int) store.NewFile {
	return photo(fmt.Sprintf("%d.jpg", seq), strings.Repeat(fmt.Sprint(seq, " "), 2000))
}

// Save has four savers save without end, a photo with every fifth state, and says of each what is kept. What failed is asked again, as
// it was, for as long as patience allows.
func Save(s store.Store, out io.Writer, patience time.Duration) error {
	var all sync.WaitGroup
	var mutex sync.Mutex
	var failed error
	for n := range savers {
		all.Go(func() {
			err := save(s, n, patience, func(what string, seq int) {
				mutex.Lock()
				defer mutex.Unlock()
				fmt.Fprintln(out, what, n, seq)
			})
			mutex.Lock()
			defer mutex.Unlock()
			failed = errors.Join(failed, err)
		})
	}
	all.Wait()
	return failed
}

// save is one saver.
func save(s store.Store, n int, patience time.Duration, say func(what string, seq int)) error {
	ctx, id := context.Background(), saverJob(n)
	again := func(f func() error) error {
		for until := time.Now().Add(patience); ; time.Sleep(10 * time.Millisecond) {
			if err := f(); store.KindOf(err) != store.Failed || time.Now().After(until) {
				return err
			}
		}
	}
	job := store.Job{}
	if err := again(func() (err error) {
		job, err = s.Create(ctx, store.NewJob{ID: id, First: saved(n, 1)})
		return err
	}); err != nil {
		return err
	}
	for seq := job.Newest + 1; ; seq++ {
		if err := again(func() error {
			_, err := s.Append(ctx, id, seq-1, saved(n, seq))
			return err
		}); err != nil {
			return err
		}
		say("state", seq)
		if seq%5 != 0 {
			continue
		}
		if err := again(func() error {
			_, err := s.PutFile(ctx, id, savedPhoto(seq))
			return err
		}); err != nil {
			return err
		}
		say("photo", seq)
	}
}

// told are the greatest numbers of states, and all those of photos, that savers were told are kept.
type told struct {
	state [savers]int
	photo [savers][]int
}

func (k *told) tell(line string) error {
	var what string
	var n, seq int
	if _, err := fmt.Sscan(line, &what, &n, &seq); err != nil || n < 0 || n >= savers {
		return fmt.Errorf("the process said %q", line)
	}
	if what == "photo" {
		k.photo[n] = append(k.photo[n], seq)
	} else {
		k.state[n] = max(k.state[n], seq)
	}
	return nil
}

// Saves has a process save, kills it or what breaks breaks, as often as kills, and each time opens the store: all that was told is
// there, as it was given, and nothing is half there. start makes a process, not yet started, that runs Save on its standard output;
// breaks ends something else in the middle (nil: the process itself is killed). It ends when savers were told of 1,000 states at
// least (60 when short).
func Saves(t *testing.T, kills int, seed uint64, start func() *exec.Cmd, breaks func(), open func() store.Store) {
	least := 1000
	if testing.Short() {
		least = 60
	}
	draw := rand.New(rand.NewPCG(seed, 7))
	var k told
	states, times := 0, 0
	for ; times < kills || states < least; times++ {
		run(t, draw, &k, start, breaks)
		states = k.holds(t, open())
		if t.Failed() {
			break
		}
	}
	t.Logf("seed %d: %d times in the middle of %d states", seed, times, states)
}

// run has a process save for a while.
func run(t *testing.T, draw *rand.Rand, k *told, start func() *exec.Cmd, breaks func()) {
	t.Helper()
	c := start()
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	read := func(most int) {
		for ; most > 0 && lines.Scan(); most-- {
			if err := k.tell(lines.Text()); err != nil {
				t.Error(err)
			}
		}
	}
	read(draw.IntN(40))
	if breaks != nil {
		breaks()
		read(20 + draw.IntN(40)) // it goes on once it can
	}
	time.Sleep(time.Duration(draw.IntN(3000)) * time.Microsecond)
	if err := c.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	read(1 << 30) // what it had said before it fell
	if err := c.Wait(); err == nil {
		t.Error("the process ended by itself")
	}
}

// holds fails unless all that was told is kept as it was given; it counts the states.
func (k *told) holds(t *testing.T, s store.Store) (states int) {
	t.Helper()
	defer s.Close()
	for n := range savers {
		id := saverJob(n)
		j, err := s.Get(t.Context(), id)
		if err != nil {
			if k.state[n] > 0 || store.KindOf(err) != store.Unknown {
				t.Fatalf("job %d, of which state %d was told: %v", n, k.state[n], err)
			}
			continue
		}
		if j.Newest < k.state[n] {
			t.Fatalf("job %d has %d states, %d were told", n, j.Newest, k.state[n])
		}
		states += j.Newest
		for seq := 1; seq <= j.Newest; seq++ {
			got, err := s.StateAt(t.Context(), id, seq)
			if want := saved(n, seq); err != nil || string(got.Document) != string(want.Document) || got.ID != want.ID {
				t.Fatalf("job %d, state %d: %q %.40s, %v", n, seq, got.ID, got.Document, err)
			}
		}
		photosHold(t, s, n, k.photo[n])
	}
	return states
}

// photosHold fails unless the photos that a saver was told of are kept. One that was begun and not told may be there too, and is
// whole then.
func photosHold(t *testing.T, s store.Store, n int, told []int) {
	t.Helper()
	files, err := s.Files(t.Context(), saverJob(n))
	if err != nil || len(files) < len(told) {
		t.Fatalf("job %d has %d photos, %d were told, %v", n, len(files), len(told), err)
	}
	for _, seq := range told {
		files = append(files, store.File{Name: savedPhoto(seq).Name})
	}
	for _, f := range files {
		var seq int
		fmt.Sscanf(f.Name, "%d.jpg", &seq)
		if _, raw, err := s.ReadFile(t.Context(), saverJob(n), f.Name); err != nil || string(raw) != string(savedPhoto(seq).Bytes) {
			t.Fatalf("job %d, photo %s: %d bytes, %v", n, f.Name, len(raw), err)
		}
	}
}
