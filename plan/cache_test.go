package plan_test

import (
	"bytes"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"testing"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/quantity"
	"gelwright/steps"
)

// ran lists the steps that run when a job is planned with a cache.
func ran(t *testing.T, c *steps.Cache, in plan.Input) ([]string, *plan.Plan) {
	t.Helper()
	before := c.Runs()
	in.Cache = c
	p, err := plan.Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	after := c.Runs()
	var out []string
	for _, name := range slices.Sorted(maps.Keys(after)) {
		if after[name] > before[name] {
			out = append(out, name)
		}
	}
	return out, p
}

func written(t *testing.T, p *plan.Plan) []byte {
	t.Helper()
	b, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestAChangeRunsOnlyWhatHangsOnIt: of a roof of two decks, one a warm roof's, planned before.
func TestAChangeRunsOnlyWhatHangsOnIt(t *testing.T) {
	for _, name := range []string{"r01-garage.yaml", "r11-three-levels.yaml"} {
		// What is picked for warmer air changes what is worked out with it, and rightly so.
		job := named(example(t, name))
		in := plan.Input{Job: job, Catalogue: material.Generic(), Prices: quantity.Prices{}}
		item := in.Catalogue.Resins[0]
		in.Prices[quantity.PriceKey{Material: item.Key, Quantity: 20}] = 9000
		c := steps.NewCache(256)
		if _, p := ran(t, c, in); len(p.Passes) == 0 {
			t.Fatal("nothing planned")
		}
		if again, _ := ran(t, c, in); len(again) != 0 {
			t.Errorf("%s, the same again: %v run", name, again)
		}
		warmer := func(in *plan.Input) {
			in.Job.Day.AirC += 2
			in.Job.Day.DeckC += 2
			in.Job.Day.ResinC += 2
			in.Job.Day.Hours = slices.Clone(in.Job.Day.Hours)
			for i := range in.Job.Day.Hours {
				in.Job.Day.Hours[i].AirC += 2
				in.Job.Day.Hours[i].DeckC += 2
			}
		}
		for _, x := range []struct {
			what   string
			change func(*plan.Input)
			may    []string
		}{
			{"a price", func(in *plan.Input) {
				in.Prices = maps.Clone(in.Prices)
				in.Prices[quantity.PriceKey{Material: item.Key, Quantity: 20}] = 9900
			}, []string{"quantities"}},
			{"the air", warmer, []string{"buckets", "damp", "exposure", "hardening", "method", "overlay", "quantities",
				"resin and catalyst", "rules", "the day", "way out"}},
			{"who smells it", func(in *plan.Input) { in.Job.Site.Neighbours = []string{"a nursery"} },
				[]string{"design checks", "exposure", "method", "overlay", "rules"}},
			{"the colour", func(in *plan.Input) { in.Job.Spec.TopCoat.Colour = "black" },
				[]string{"design checks", "method", "overlay", "quantities", "rules", "take-off"}},
		} {
			next := in
			x.change(&next)
			got, p := ran(t, c, next)
			for _, s := range got {
				if !slices.Contains(x.may, s) {
					t.Errorf("%s, %s: %q runs, which does not hang on it (%v)", name, x.what, s, got)
				}
			}
			if len(got) == 0 {
				t.Errorf("%s, %s: nothing runs", name, x.what)
			}
			// What is put together from kept parts is the plan that is made anew.
			if fresh, err := plan.Make(context.Background(), next); err != nil {
				t.Fatal(err)
			} else if a, b := written(t, p), written(t, fresh); !bytes.Equal(a, b) {
				t.Errorf("%s, %s: with a cache %s", name, x.what, firstDifference(a, b))
			}
		}
		// Nothing that was kept has been changed by what was made of it.
		_, p := ran(t, c, in)
		fresh, err := plan.Make(context.Background(), plan.Input{Job: in.Job, Catalogue: in.Catalogue, Prices: in.Prices})
		if err != nil {
			t.Fatal(err)
		}
		if a, b := written(t, p), written(t, fresh); !bytes.Equal(a, b) {
			t.Errorf("%s: kept parts were changed: %s", name, firstDifference(a, b))
		}
	}
}
