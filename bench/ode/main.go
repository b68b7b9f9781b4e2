// Command ode times the project's integrator on the reference cures, for compare.sh.
//
// For each case and tolerance it prints: program, tolerance, case, median µs of a run
// with its events, and the greatest relative error of gel time, peak temperature and
// time of peak against the reference.
package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"sort"
	"time"

	"gelwright/ode"
)

type problem struct {
	GelAlpha float64            `json:"alpha_gel"`
	Kinetics map[string]float64 `json:"kinetics"`
	Cases    []struct {
		Name string  `json:"name"`
		SV   float64 `json:"S_over_V_per_m"`
		H    float64 `json:"h_W_per_m2K"`
		Ta   float64 `json:"Ta_K"`
		T0   float64 `json:"T0_K"`
		End  float64 `json:"t_end_s"`
	} `json:"cases"`
}

type reference struct {
	Results []struct {
		Name  string  `json:"name"`
		Gel   float64 `json:"t_gel_s"`
		Peak  float64 `json:"T_peak_K"`
		PeakT float64 `json:"t_peak_s"`
	} `json:"results"`
}

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func read(path string, into any) error {
	raw, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	return json.Unmarshal(raw, into)
}

func run(args []string) error {
	if len(args) != 2 {
		return fmt.Errorf("usage: ode PARAMETERS.json REFERENCE.json")
	}
	var p problem
	var ref reference
	if err := read(args[0], &p); err != nil {
		return err
	}
	if err := read(args[1], &ref); err != nil {
		return err
	}
	const repeats = 51
	for _, tol := range []float64{1e-6, 1e-9} {
		for i := range p.Cases {
			var micros []float64
			var gel, peak, peakT float64
			for range repeats {
				from := time.Now()
				var err error
				if gel, peak, peakT, err = p.solve(i, tol); err != nil {
					return err
				}
				micros = append(micros, float64(time.Since(from).Nanoseconds())/1000)
			}
			sort.Float64s(micros)
			r := ref.Results[i]
			worst := math.Max(math.Abs(gel/r.Gel-1), math.Max(math.Abs(peak/r.Peak-1), math.Abs(peakT/r.PeakT-1)))
			fmt.Printf("gelwright %g %s %.1f %.1e\n", tol, r.Name, micros[repeats/2], worst)
		}
	}
	return nil
}

// solve returns the gel time, the peak temperature and its time.
func (p *problem) solve(i int, tol float64) (gel, peak, peakT float64, err error) {
	const gas = 8.314462618
	q, c := p.Kinetics, p.Cases[i]
	a1, e1, a2, e2, m, n := q["A1_per_s"], q["E1_J_per_mol"], q["A2_per_s"], q["E2_J_per_mol"], q["m"], q["n"]
	rise, loss := q["H_J_per_kg"]/q["cp_J_per_kgK"], c.H*c.SV/(q["rho_kg_per_m3"]*q["cp_J_per_kgK"])
	f := func(_ float64, y, d []float64) {
		a := math.Min(math.Max(y[0], 0), 1)
		rt := gas * y[1]
		r := (a1*math.Exp(-e1/rt) + a2*math.Exp(-e2/rt)*math.Pow(a, m)) * math.Pow(1-a, n)
		d[0], d[1] = r, rise*r-loss*(y[1]-c.Ta)
	}
	d := make([]float64, 2)
	s, err := ode.Solve(context.Background(), f, 0, c.End, []float64{0, c.T0},
		ode.Options{RelTol: tol, AbsTol: []float64{tol * 1e-3, tol}, Events: []ode.Event{
			{G: func(_ float64, y []float64) float64 { return y[0] - p.GelAlpha }, Direction: 1},
			{G: func(t float64, y []float64) float64 { f(t, y, d); return d[1] }, Direction: -1},
		}})
	for _, h := range s.Hits {
		switch {
		case h.Event == 0:
			gel = h.T
		case h.Y[1] > peak:
			peak, peakT = h.Y[1], h.T
		}
	}
	return gel, peak, peakT, err
}
