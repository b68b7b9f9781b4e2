package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
	"sync"
)

const digestFile = "internal/net/digests.txt"

func main() {
	update := flag.Bool("update", false, "write the digests anew")
	keep := flag.String("keep", "", "keep all outputs in this folder")
	only := flag.String("only", "", "some roofs or questions only, parted by commas")
	short := flag.Bool("short", false, "the examples and twelve random roofs")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, *update, *keep, *only, *short); err != nil {
		fmt.Fprintln(os.Stderr, "net:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, update bool, keep, only string, short bool) error {
	dir, err := os.MkdirTemp("", "net")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	program := filepath.Join(dir, "gelwright")
	build := exec.CommandContext(ctx, "go", "build", "-o", program, "./cmd/gelwright")
	if out, err := build.CombinedOutput(); err != nil {
		return fmt.Errorf("go build: %w\n%s", err, out)
	}
	cases, err := allCases(dir, short)
	if err != nil {
		return err
	}
	if only != "" {
		cases = chosen(cases, strings.Split(only, ","))
	}
	got, err := digestAll(ctx, program, dir, keep, cases)
	if err != nil {
		return err
	}
	want, err := recorded()
	if err != nil && !update {
		return err
	}
	if update {
		return record(got, want)
	}
	return compare(got, want, only != "" || short)
}

// chosen are the cases of the given names.
func chosen(cases []question, names []string) []question {
	var out []question
	for _, c := range cases {
		for _, n := range names {
			if c.name == n {
				out = append(out, c)
			}
		}
	}
	return out
}

// digestAll asks every question, as many at a time as there are processors, and returns
// the digest of each output by "name output".
func digestAll(ctx context.Context, program, dir, keep string, cases []question) (map[string]string, error) {
	all := map[string]string{}
	var (
		guard  sync.Mutex
		group  sync.WaitGroup
		faults []error
		places = make(chan struct{}, runtime.GOMAXPROCS(0))
	)
	for _, c := range cases {
		group.Add(1)
		go func() {
			defer group.Done()
			places <- struct{}{}
			defer func() { <-places }()
			answers, err := c.ask(ctx, program, dir)
			guard.Lock()
			defer guard.Unlock()
			if err != nil {
				faults = append(faults, fmt.Errorf("%s: %w", c.name, err))
			}
			for what, text := range answers {
				all[c.name+" "+groupOf(what)] += digestOf(what, text)
			}
			if keep != "" {
				if err := keepAll(filepath.Join(keep, c.name), answers); err != nil {
					faults = append(faults, err)
				}
			}
		}()
	}
	group.Wait()
	for k, v := range all {
		all[k] = fold(v)
	}
	return all, errors.Join(faults...)
}

// keepAll writes answers below a folder.
func keepAll(dir string, answers map[string][]byte) error {
	for what, text := range answers {
		path := filepath.Join(dir, filepath.FromSlash(what))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, text, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// recorded reads the digests that were written last.
func recorded() (map[string]string, error) {
	raw, err := os.ReadFile(digestFile)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	lines := bufio.NewScanner(bytes.NewReader(raw))
	for lines.Scan() {
		if at := strings.LastIndexByte(lines.Text(), ' '); at > 0 {
			out[lines.Text()[:at]] = lines.Text()[at+1:]
		}
	}
	return out, lines.Err()
}

// record writes the digests; those of cases that were not asked stay.
func record(got, before map[string]string) error {
	asked := map[string]bool{}
	for k := range got {
		asked[strings.Fields(k)[0]] = true
	}
	for k, v := range before {
		if !asked[strings.Fields(k)[0]] {
			got[k] = v
		}
	}
	var b bytes.Buffer
	for _, k := range sorted(got) {
		fmt.Fprintf(&b, "%s %s\n", k, got[k])
	}
	next := digestFile + ".writing"
	if err := os.WriteFile(next, b.Bytes(), 0o644); err != nil {
		return err
	}
	return os.Rename(next, digestFile)
}

// compare names every output that is not as recorded.
func compare(got, want map[string]string, some bool) error {
	differ := 0
	for _, k := range sorted(got) {
		if want[k] != got[k] {
			differ++
			fmt.Printf("differs: %s\n", k)
		}
	}
	if !some {
		for _, k := range sorted(want) {
			if _, there := got[k]; !there {
				differ++
				fmt.Printf("gone: %s\n", k)
			}
		}
	}
	if differ > 0 {
		return fmt.Errorf("%d of %d outputs are not as recorded in %s", differ, len(got), digestFile)
	}
	fmt.Printf("net: %d outputs as recorded\n", len(got))
	return nil
}

func sorted(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
