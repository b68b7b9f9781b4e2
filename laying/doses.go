package laying

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"gelwright/cure"
	"gelwright/steps"
)

// Doses are the doses of the largest bucket of a pass, weighed: the chance that it is laid
// before it gels against that of being safe from rain by the evening, two hours after the
// crew's end.
type Doses struct {
	// KG of the bucket, LayMin to lay it, and what it should be ByMin after mixing.
	KG     float64 `json:"kg"`
	LayMin float64 `json:"lay_min"`
	Ready  string  `json:"ready"`
	ByMin  float64 `json:"by_min"`
	// That no dose does both is no fault: the measures say what would help.
	cure.MixAdvice
}

// DosesInput is what the doses are weighed from.
type DosesInput struct {
	Hardening steps.Made[Hardening]
}

// MakeDoses weighs those of the largest mat and the largest coat, by the keys of the passes.
func MakeDoses(ctx context.Context, in DosesInput) (map[string]*Doses, error) {
	out := map[string]*Doses{}
	for _, kind := range []string{"mat", "top coat"} {
		w := widest(in.Hardening.Value.Wet, kind)
		if w == nil {
			continue
		}
		advice, err := w.frontier(ctx)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", w.Key, err)
		}
		out[w.Key] = &Doses{KG: w.goal.KG, LayMin: w.goal.LayMin, Ready: w.goal.Ready.Done(), ByMin: w.goal.ByMin, MixAdvice: advice}
	}
	return out, nil
}

// widest is the pass of a kind with the largest bucket, the first of equals; nil for none.
func widest(wet []WetPass, kind string) *WetPass {
	var out *WetPass
	for i := range wet {
		if w := &wet[i]; w.Kind == kind && (out == nil || w.Left.KG > out.Left.KG+1e-9) {
			out = w
		}
	}
	return out
}

// Weighed puts doses to their passes; the passes of the step stay as they are.
func Weighed(wet []WetPass, doses map[string]*Doses) []WetPass {
	out := slices.Clone(wet)
	for i := range out {
		out[i].Doses = doses[out[i].Key]
	}
	return out
}

// frontier weighs the doses of a pass's largest bucket.
func (w *WetPass) frontier(ctx context.Context) (cure.MixAdvice, error) {
	ask := w.ask.Narrow(w.law, w.ResinKGPerM2)
	ask.TempsC = w.tableTemps()
	t, err := cure.NewTable(ctx, w.law, ask)
	if err != nil {
		return cure.MixAdvice{}, err
	}
	advice, err := cure.Frontier(ctx, &t, w.ask.Kinetics, w.goal)
	if errors.Is(err, cure.ErrNoAim) {
		err = nil
	}
	return advice, err
}
