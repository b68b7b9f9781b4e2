package plan_test

import (
	"context"
	"errors"
	"runtime"
	"strings"
	"testing"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/settingout"
)

// looking is a context that counts how often it is looked at and by which function, and is
// done from its last look on; 0 for never.
type looking struct {
	context.Context
	looks, last int
	by          map[string]int
}

func (l *looking) Err() error {
	l.looks++
	if l.by != nil {
		l.by[looker()]++
	}
	if l.last > 0 && l.looks >= l.last {
		return context.Canceled
	}
	return nil
}

// looker is the function that looks at the context, as "proof.(*checker).matCover".
func looker() string {
	var at [4]uintptr
	frames := runtime.CallersFrames(at[:runtime.Callers(3, at[:])])
	for {
		f, more := frames.Next()
		if name := f.Function[strings.LastIndexByte(f.Function, '/')+1:]; !more || !strings.HasSuffix(name, ".stopped") {
			return name
		}
	}
}

// wanted is a plan of an example as its papers need it.
func wanted(t testing.TB, name string) plan.Input {
	return plan.Input{Job: example(t, name+".yaml"), Catalogue: material.Generic(), Weigh: true}
}

// A plan that is stopped, wherever that is, ends with the context's error, begins no other
// step and does little more: it looks a few more times, once for each loop that it is in.
func TestAPlanEndsSoonAfterItIsStopped(t *testing.T) {
	t.Parallel()
	name, places := "r01-garage", 25
	if !testing.Short() {
		name, places = "r03-bay", 50
	}
	all := &looking{Context: context.Background()}
	if _, err := plan.Make(all, wanted(t, name)); err != nil {
		t.Fatal(err)
	}
	const few = 12
	for k := range places {
		l := &looking{Context: context.Background(), last: 1 + all.looks*k/places}
		in, late := wanted(t, name), ""
		in.Progress = func(step string) {
			if l.looks >= l.last {
				late = step
			}
		}
		p, err := plan.Make(l, in)
		if !errors.Is(err, context.Canceled) || p != nil {
			t.Errorf("stopped at look %d of %d: plan %t, error %v", l.last, all.looks, p != nil, err)
		}
		if more := l.looks - l.last; more > few || late != "" {
			t.Errorf("stopped at look %d of %d it looked %d times more, %d are plenty; and began step %q", l.last, all.looks, more, few, late)
		}
	}
}

// Between two looks at the context lies one piece, one place or one layout: every loop whose
// length goes with the roof looks as often as it goes round.
func TestAPlanLooksAtItsContextPieceByPiece(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("plans the hall")
	}
	l := &looking{Context: context.Background(), by: map[string]int{}}
	p, err := plan.Make(l, wanted(t, "r12-hall"))
	if err != nil {
		t.Fatal(err)
	}
	pieces := map[settingout.Kind]int{}
	for _, x := range p.Decks[0].SetOut.Pieces {
		if x.Kind != settingout.Mat || x.Role == "field" {
			pieces[x.Kind]++
		}
	}
	boards, mats, cells, buckets := pieces[settingout.Board], pieces[settingout.Mat], 0, 0
	for i := range p.Passes {
		cells += len(p.Passes[i].Cells)
		if b := p.Passes[i].Plan; b != nil {
			buckets += len(b.Mixes)
		}
	}
	m2 := int(p.Job.Decks[0].Outline.Area())
	for by, least := range map[string]int{
		"settingout.(*boarding).bestStyle": 1,
		"settingout.(*boarding).climb":     boards / 2,
		"settingout.(*matLayer).weigh":     mats,
		"cutting.(*master).generate":       1,
		"framing.(*holding).screws":        boards,
		"laying.(*WetWorkInput).matCells":  mats,
		"mixing.(*pour).runQueue":          buckets,
		"mixing.(*chooser).weighSweeps":    mats / 4,
		"cure.(*filmState).run":            1000,
		"conduction.(*Slab).Advance":       1000,
		"ode.Solve":                        100,
		"checking.MakeDeckChecks":          4,
		"proof.CheckUntil":                 10,
		"proof.(*checker).boardCover":      20 * m2,
		"proof.(*checker).joints":          boards,
		"proof.(*checker).stagger":         boards / 2,
		"proof.(*checker).freeOf":          100 * int(p.Job.Decks[0].Outline.Perimeter()),
		"proof.(*checker).matCover":        10*m2 + mats,
		"proof.(*checker).shingle":         mats,
		"steps.Run[...]":                   20,
	} {
		if l.by[by] < least || least == 0 {
			t.Errorf("%s looks %d times, want %d: %d boards, %d pieces of mat, %d m², %d cells, %d buckets", by, l.by[by], least, boards, mats,
				m2, cells, buckets)
		}
	}
}
