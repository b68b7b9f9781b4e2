package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
)

// result is what one round took.
type result struct {
	workers, threads        int
	seconds                 float64
	stood, sought, worked   int
	sure, notSure, none     int
	memoryMB, processorSecs float64
}

func head() {
	fmt.Printf("%-22s %7s %7s %8s %8s %8s %8s %8s %8s %8s %10s %10s\n", "morning", "workers", "threads", "s", "jobs/s", "judged", "searched",
		"made", "sure", "not sure", "CPU s", "MB each")
}

func (r *result) print(name string, jobs int) {
	share := func(n int) string { return fmt.Sprintf("%.0f %%", 100*float64(n)/float64(jobs)) }
	fmt.Printf("%-22s %7d %7d %8.1f %8.0f %8s %8s %8s %8s %8s %10.1f %10.0f\n", name, r.workers, r.threads, r.seconds, float64(jobs)/r.seconds,
		share(r.stood), share(r.sought), share(r.worked), share(r.sure), share(r.notSure), r.processorSecs, r.memoryMB)
}

// morning has the round of a morning done by so many processes, and measures from its order until no work is left.
func (b *bench) morning(ctx context.Context, address string, workers, threads int) (r result, err error) {
	r.workers, r.threads = workers, threads
	env := append(os.Environ(), "GELWRIGHT_DATABASE="+address, "SSL_CERT_FILE="+b.sky.certificate, fmt.Sprint("GOMAXPROCS=", threads))
	all, err := b.begin(ctx, env, workers, threads)
	defer func() {
		for _, c := range all {
			c.Process.Kill()
			c.Wait()
		}
	}()
	if err != nil {
		return r, err
	}
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return r, err
	}
	defer conn.Close(ctx)
	var before int64
	if err := conn.QueryRow(ctx, "SELECT coalesce(max(made_ms), 0) FROM work").Scan(&before); err != nil {
		return r, err
	}
	// A night has passed: the services may be asked again.
	if _, err := conn.Exec(ctx, "UPDATE weather_answer SET expires_ms = 0"); err != nil {
		return r, err
	}
	began := time.Now()
	order := exec.CommandContext(ctx, b.program, "work", "morning", "--files", b.files())
	order.Env = env
	if said, err := order.CombinedOutput(); err != nil {
		return r, fmt.Errorf("%w: %s", err, said)
	}
	if err := untilDone(ctx, conn); err != nil {
		return r, err
	}
	r.seconds = time.Since(began).Seconds()
	if err := r.count(ctx, conn, before); err != nil {
		return r, err
	}
	r.end(all)
	all = nil
	return r, nil
}

// begin begins workers and waits until they work.
func (b *bench) begin(ctx context.Context, env []string, workers, threads int) (all []*exec.Cmd, err error) {
	for range workers {
		c := exec.CommandContext(ctx, b.program, "work", "--files", b.files(), "--threads", strconv.Itoa(threads))
		c.Env, c.Stderr = env, os.Stderr
		out, err := c.StdoutPipe()
		if err != nil {
			return all, err
		}
		if err := c.Start(); err != nil {
			return all, err
		}
		all = append(all, c)
		if line, err := bufio.NewReader(out).ReadString('\n'); err != nil || line != "working\n" {
			return all, fmt.Errorf("a worker says %q: %w", line, err)
		}
	}
	return all, nil
}

// untilDone waits until no work is left, and tells of work that has failed.
func untilDone(ctx context.Context, conn *pgx.Conn) error {
	for {
		time.Sleep(200 * time.Millisecond)
		var open, failed int
		if err := conn.QueryRow(ctx, "SELECT count(*) FILTER (WHERE ended_ms = 0), count(*) FILTER (WHERE state = 'failed') FROM work").
			Scan(&open, &failed); err != nil {
			return err
		}
		if failed > 0 {
			return failure(ctx, conn)
		}
		if open == 0 {
			return nil
		}
	}
}

// end ends workers and adds up what they have used.
func (r *result) end(all []*exec.Cmd) {
	for _, c := range all {
		r.memoryMB = max(r.memoryMB, peakMB(c.Process.Pid))
		c.Process.Signal(os.Interrupt)
	}
	for _, c := range all {
		c.Wait()
		r.processorSecs += c.ProcessState.UserTime().Seconds() + c.ProcessState.SystemTime().Seconds()
	}
}

// failure is what a piece of work that failed says.
func failure(ctx context.Context, conn *pgx.Conn) error {
	var kind, said string
	err := conn.QueryRow(ctx, "SELECT kind, said FROM work WHERE state = 'failed' LIMIT 1").Scan(&kind, &said)
	return errors.Join(err, fmt.Errorf("work of kind %s failed: %s", kind, said))
}

// count adds up what the pieces of work since then say of themselves, and what became of the jobs.
func (r *result) count(ctx context.Context, conn *pgx.Conn, since int64) error {
	rows, err := conn.Query(ctx, "SELECT said FROM work WHERE kind = 'replan' AND made_ms > $1", since)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var said string
		if err := rows.Scan(&said); err != nil {
			return err
		}
		var stood, sought, made int
		if _, in, is := strings.Cut(said, "("); is {
			if _, err := fmt.Sscanf(in, "%d stand, %d looked for anew, %d worked out)", &stood, &sought, &made); err != nil {
				return fmt.Errorf("%q: %w", said, err)
			}
		}
		r.stood, r.sought, r.worked = r.stood+stood, r.sought+sought, r.worked+made
	}
	if err := rows.Err(); err != nil {
		return err
	}
	var why string
	if err := conn.QueryRow(ctx, "SELECT reason FROM chance WHERE verdict = 'faulty' LIMIT 1").Scan(&why); err == nil {
		return fmt.Errorf("a roof is faulty: %s", why)
	}
	return conn.QueryRow(ctx, "SELECT count(*) FILTER (WHERE verdict = 'sure'), count(*) FILTER (WHERE verdict = 'not sure'), "+
		"count(*) FILTER (WHERE verdict NOT IN ('sure', 'not sure')) FROM chance").Scan(&r.sure, &r.notSure, &r.none)
}

// peakMB is the most memory that a process has had.
func peakMB(pid int) float64 {
	raw, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(pid), "status"))
	if err != nil {
		return 0
	}
	_, rest, _ := strings.Cut(string(raw), "VmHWM:")
	var kB float64
	fmt.Sscanf(rest, "%f", &kB)
	return kB / 1024
}
