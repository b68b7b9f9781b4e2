// Command portfolio measures the round of the morning over many jobs, as a firm has it: a real PostgreSQL that syncs to its disk, a weather
// service over HTTPS on this computer that answers with 50 members, and 1 and 2 processes of `gelwright work`.
//
// Jobs are the twelve example roofs in variants: each has a size of its own (80 to 130 % of the example's), most are garages and dormers,
// one in a hundred is a hall. They lie in so many places, each within a few hundred metres of its middle. On the first morning
// nothing stands: every roof is worked out and its days are searched. The second is what a day costs: another forecast of every
// place, under which what stands is judged and only what falls is searched again; it is measured on a copy of the same database for
// each number of workers.
//
//	portfolio [-jobs N] [-places N] [-first-workers N]
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"gelwright/internal/postgrestest"
)

func main() {
	var b bench
	flag.IntVar(&b.jobs, "jobs", 10000, "how many jobs")
	flag.IntVar(&b.places, "places", 200, "in how many places they lie")
	flag.IntVar(&b.people, "first-workers", 2, "how many processes work on the first morning")
	flag.Parse()
	if err := b.run(context.Background()); err != nil {
		fmt.Fprintln(os.Stderr, "portfolio:", err)
		os.Exit(1)
	}
}

// bench is a portfolio and what is measured on it.
type bench struct {
	jobs, places, people int

	dir, program string
	server       *postgrestest.Server
	sky          *service
}

func (b *bench) run(ctx context.Context) (err error) {
	if b.jobs < 1 || b.places < 1 || b.people < 1 {
		return errors.New("give 1 or more of each")
	}
	if b.dir, err = os.MkdirTemp("", "gelwright-portfolio-"); err != nil {
		return err
	}
	defer os.RemoveAll(b.dir)
	b.program = filepath.Join(b.dir, "gelwright")
	if said, err := exec.CommandContext(ctx, "go", "build", "-o", b.program, "./cmd/gelwright").CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, said)
	}
	if b.server, err = postgrestest.Start(postgrestest.Durable); err != nil {
		return err
	}
	defer b.server.Close()
	draw := rand.New(rand.NewPCG(10, 50))
	towns := townsOf(draw, b.places)
	if b.sky, err = serve(b.dir, towns); err != nil {
		return err
	}
	defer b.sky.Close()
	address, err := b.server.Database(ctx)
	if err != nil {
		return err
	}
	began := time.Now()
	if err := (&filling{b.files(), towns, b.jobs, b.sky.address()}).run(ctx, address, draw); err != nil {
		return err
	}
	fmt.Printf("%d jobs in %d places are kept: %.0f s\n", b.jobs, b.places, time.Since(began).Seconds())
	head()
	first, err := b.morning(ctx, address, b.people, 1)
	if err != nil {
		return err
	}
	first.print("first, nothing stands", b.jobs)
	if err := b.sky.next(); err != nil {
		return err
	}
	var all []result
	for _, how := range []struct{ workers, threads int }{{1, 1}, {2, 1}, {1, 2}} {
		copied, err := b.server.Copy(ctx, address)
		if err != nil {
			return err
		}
		r, err := b.morning(ctx, copied, how.workers, how.threads)
		if err != nil {
			return err
		}
		r.print("second, new forecast", b.jobs)
		all = append(all, r)
	}
	fmt.Printf("twice the workers: %.2f times as fast\n", all[0].seconds/all[1].seconds)
	return nil
}

// files is where bytes of files lie.
func (b *bench) files() string { return filepath.Join(b.dir, "files") }
