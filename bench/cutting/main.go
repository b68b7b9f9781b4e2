// Command cutting takes part in the side-by-side run of compare.sh: it solves a
// published one-dimensional instance with package cutting, or writes it as an
// integer programme for another solver.
//
// The programme is the arc-flow model of Valério de Carvalho (Annals of Operations
// Research 86, 1999): a bar is a path from 0 to its length, pieces are arcs, longest
// pieces first, so that each set of pieces is (nearly) one path. It is written in
// the LP format that CBC, GLPK and HiGHS read.
package main

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"sort"
	"time"

	"gelwright/cutting"
)

func main() {
	in := flag.String("in", "", "instance: number of sizes, bar length, then lines \"length demand\"")
	out := flag.String("lp", "", "write the arc-flow programme to this file instead of solving")
	limit := flag.Duration("limit", time.Minute, "time limit")
	flag.Parse()
	if err := run(*in, *out, *limit); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(in, out string, limit time.Duration) error {
	p, err := read(in)
	if err != nil {
		return fmt.Errorf("reading %s: %w", in, err)
	}
	if out != "" {
		f, err := os.Create(out)
		if err != nil {
			return err
		}
		w := bufio.NewWriter(f)
		arcFlow(w, p)
		if err := w.Flush(); err != nil {
			return err
		}
		return f.Close()
	}
	ctx, stop := context.WithTimeout(context.Background(), limit)
	defer stop()
	start := time.Now()
	plan, err := cutting.Solve(ctx, p)
	took := time.Since(start)
	if err != nil {
		return err
	}
	if err := cutting.Verify(p, plan); err != nil {
		return err
	}
	state := "open"
	if plan.Optimal {
		state = "optimal"
	}
	fmt.Printf("%v %s %.4f\n", plan.Cost, state, took.Seconds())
	return nil
}

func read(path string) (cutting.Problem, error) {
	f, err := os.Open(path)
	if err != nil {
		return cutting.Problem{}, err
	}
	defer f.Close()
	var m, size int
	r := bufio.NewReader(f)
	if _, err := fmt.Fscan(r, &m, &size); err != nil {
		return cutting.Problem{}, err
	}
	p := cutting.Problem{Stocks: []cutting.Stock{{Name: "bar", LengthMM: size, Cost: 1, Available: -1}}}
	for i := 0; i < m; i++ {
		var w, d int
		if _, err := fmt.Fscan(r, &w, &d); err != nil {
			return cutting.Problem{}, err
		}
		p.Pieces = append(p.Pieces, cutting.Piece{Name: fmt.Sprint("p", i+1), LengthMM: w, Count: d})
	}
	return p, nil
}

// arc is one piece of a size (or waste, item −1) between two places of a bar.
type arc struct{ from, to, item int }

// arcs builds the graph: sizes longest first, each at most as often as wanted, from
// places that can be reached; then waste between neighbouring places.
func arcs(p cutting.Problem) []arc {
	size := p.Stocks[0].LengthMM
	items := append([]cutting.Piece(nil), p.Pieces...)
	sort.SliceStable(items, func(a, b int) bool { return items[a].LengthMM > items[b].LengthMM })
	reached := make([]bool, size+1)
	reached[0] = true
	var list []arc
	for i, q := range items {
		start := append([]bool(nil), reached...)
		for x := 0; x <= size; x++ {
			if !start[x] {
				continue
			}
			for c, at := 0, x; c < q.Count && at+q.LengthMM <= size; c++ {
				list = append(list, arc{at, at + q.LengthMM, i})
				at += q.LengthMM
				reached[at] = true
			}
		}
	}
	sort.Slice(list, func(a, b int) bool {
		x, y := list[a], list[b]
		if x.item != y.item {
			return x.item < y.item
		}
		return x.from < y.from
	})
	out := list[:0]
	for n, a := range list {
		if n == 0 || a != list[n-1] {
			out = append(out, a)
		}
	}
	last := 0
	reached[size] = true
	for x := 1; x <= size; x++ {
		if reached[x] {
			out = append(out, arc{last, x, -1})
			last = x
		}
	}
	return out
}

// arcFlow writes: minimise the flow z from 0 to the bar's end, flow kept at each
// place, each size on at least as many arcs as wanted.
func arcFlow(w io.Writer, p cutting.Problem) {
	size := p.Stocks[0].LengthMM
	list := arcs(p)
	in, out := make([][]int, size+1), make([][]int, size+1)
	cover := make([][]int, len(p.Pieces))
	for n, a := range list {
		out[a.from] = append(out[a.from], n)
		in[a.to] = append(in[a.to], n)
		if a.item >= 0 {
			cover[a.item] = append(cover[a.item], n)
		}
	}
	items := append([]cutting.Piece(nil), p.Pieces...)
	sort.SliceStable(items, func(a, b int) bool { return items[a].LengthMM > items[b].LengthMM })
	sum := func(sign string, list []int) {
		for t, n := range list {
			fmt.Fprintf(w, " %s x%d", sign, n)
			if t%12 == 11 {
				fmt.Fprintln(w)
			}
		}
	}
	fmt.Fprintln(w, "Minimize\n bars: z\nSubject To")
	for x := 0; x <= size; x++ {
		if len(in[x])+len(out[x]) == 0 {
			continue
		}
		fmt.Fprintf(w, " n%d:", x)
		sum("+", in[x])
		sum("-", out[x])
		switch x {
		case 0:
			fmt.Fprint(w, " + z")
		case size:
			fmt.Fprint(w, " - z")
		}
		fmt.Fprintln(w, " = 0")
	}
	for i, list := range cover {
		fmt.Fprintf(w, " d%d:", i)
		sum("+", list)
		fmt.Fprintf(w, " >= %d\n", items[i].Count)
	}
	fmt.Fprintln(w, "General\n z")
	for n := range list {
		fmt.Fprintf(w, " x%d", n)
		if n%12 == 11 {
			fmt.Fprintln(w)
		}
	}
	fmt.Fprintln(w, "\nEnd")
}
