package work_test

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"gelwright/internal/postgrestest"
	"gelwright/store"
	"gelwright/store/folder"
	"gelwright/store/postgres"
	"gelwright/store/sqlite"
	"gelwright/store/tables"
	"gelwright/work"
)

// child says in the environment what a process of these tests is: "works" or "orders", and where.
const child = "GELWRIGHT_WORK_CHILD"

func TestMain(m *testing.M) {
	what, where, is := strings.Cut(os.Getenv(child), " ")
	if !is {
		os.Exit(m.Run())
	}
	if err := beChild(what, where); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// openPlace opens a folder, or a database and its folder: "address folder".
func openPlace(ctx context.Context, where string) (*tables.DB, error) {
	address, dir, is := strings.Cut(where, " ")
	if !is {
		db, err := sqlite.Open(ctx, where)
		if err != nil {
			return nil, err
		}
		return db.DB, nil
	}
	files, err := folder.Open(dir)
	if err != nil {
		return nil, err
	}
	db, err := postgres.Open(ctx, address, files, 0)
	if err != nil {
		return nil, err
	}
	return db.DB, nil
}

// quickly has what a dead worker held given back at once, so that a test does not wait.
var quickly = work.Settings{Threads: 3, Beat: 50 * time.Millisecond, Dead: time.Second}

// beChild works until its input ends; or it orders what it reads, a job's id a line, and says of each that it is ordered.
func beChild(what, where string) error {
	ctx := context.Background()
	db, err := openPlace(ctx, where)
	if err != nil {
		return err
	}
	q, err := work.Open(ctx, db, slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelWarn})))
	if err != nil {
		return err
	}
	if what == "orders" {
		lines := bufio.NewScanner(os.Stdin)
		for lines.Scan() {
			list, err := q.Replan(ctx, []store.ID{store.ID(lines.Text())}, "child")
			if err != nil {
				return err
			}
			fmt.Println(list[0].ID)
		}
		return lines.Err()
	}
	w, err := q.Start(ctx, quickly)
	if err != nil {
		return err
	}
	fmt.Println("working")
	if _, err := io.Copy(io.Discard, os.Stdin); err != nil {
		return err
	}
	return w.Stop(ctx)
}

// process is a child that runs; it ends with the test.
type process struct {
	*exec.Cmd
	in  io.WriteCloser
	out *bufio.Scanner
}

func begin(t *testing.T, what, where string) *process {
	t.Helper()
	p := &process{Cmd: exec.Command(os.Args[0])}
	p.Env = append(os.Environ(), child+"="+what+" "+where)
	p.Stderr = t.Output()
	out, err := p.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	p.out = bufio.NewScanner(out)
	if p.in, err = p.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(p.kill)
	return p
}

func (p *process) kill() {
	p.Process.Kill()
	p.Wait()
}

// working begins a worker and waits until it works.
func working(t *testing.T, where string) *process {
	t.Helper()
	p := begin(t, "works", where)
	if !p.out.Scan() {
		t.Fatal("the worker does not begin")
	}
	return p
}

// TestKilledInTheMiddleNothingIsLostOrDoneTwice kills who orders and who works again and again, on both databases: what was told as
// ordered is done, each once.
func TestKilledInTheMiddleNothingIsLostOrDoneTwice(t *testing.T) {
	jobs, kills := 1000, 12
	if testing.Short() {
		jobs, kills = 24, 2
	}
	for name, place := range map[string]func(t *testing.T) string{
		"a folder":   func(t *testing.T) string { return t.TempDir() },
		"PostgreSQL": func(t *testing.T) string { return postgrestest.New(t) + " " + t.TempDir() },
	} {
		t.Run(name, func(t *testing.T) { killing(t, place(t), jobs, kills, rand.New(rand.NewPCG(1, 7))) })
	}
}

func killing(t *testing.T, where string, n, kills int, draw *rand.Rand) {
	db, err := openPlace(t.Context(), where)
	if err != nil {
		t.Fatal(err)
	}
	o := beside(t, db)
	jobs := make([]store.ID, n)
	for i := range jobs {
		jobs[i] = o.job(fmt.Sprintf("Garage %d", i), "r01-garage")
	}
	workers := []*process{working(t, where), working(t, where)}
	told := map[store.ID]bool{}
	orderer := begin(t, "orders", where)
	waits := func() { time.Sleep(time.Duration(20+draw.IntN(400)) * time.Millisecond) }
	next := 0
	for round := 0; next < n; round++ {
		fmt.Fprintln(orderer.in, jobs[next])
		if orderer.out.Scan() {
			told[store.ID(orderer.out.Text())] = true
			next++
		}
		if kills > 0 && next%(1+n/kills) == 0 {
			// Whoever orders is killed with an order on its way; asked again it is the same order, or one that finds it done.
			fmt.Fprintln(orderer.in, jobs[min(next, n-1)])
			orderer.kill()
			orderer = begin(t, "orders", where)
			i := round % len(workers)
			waits()
			workers[i].kill()
			workers[i] = working(t, where)
		}
	}
	for range kills {
		i := draw.IntN(len(workers))
		workers[i].kill()
		workers[i] = working(t, where)
		waits()
	}
	for id := range told {
		if w := o.ended(id); w.State != work.Done {
			t.Errorf("%+v", w)
		}
	}
	o.settled()
	for _, id := range jobs {
		if c, err := o.queue.Chance(t.Context(), id); err != nil || c.Runs != 1 {
			t.Errorf("job %s was planned %d times (%v)", id, c.Runs, err)
		}
	}
	// In the end the workers that live, and no others, are known.
	for _, p := range workers {
		p.in.Close()
		if err := p.Wait(); err != nil {
			t.Errorf("the worker's end: %v", err)
		}
	}
}
