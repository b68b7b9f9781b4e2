package programme

import (
	"context"
	"reflect"
	"sync"
	"testing"

	"gelwright/weather"
)

// What programmes under the same weather have in common is worked out once, and each tells what it tells alone: stages that are alike
// or not, limits lifted or not, asked at once. The race detector runs this.
func TestProgrammesWithWeatherInCommonAtOnce(t *testing.T) {
	t.Parallel()
	in := Input{Stages: benchStages(), Members: courses(t, 6, 5), Site: benchSite, Hours: benchHours}
	slow := benchStages()
	for i := range slow {
		if f := slow[i].Film; f != nil {
			other := *f
			other.SD *= 2
			slow[i].Film = &other
		}
	}
	lifted := in
	lifted.Overrides = []Override{{Limit: weather.LimitRH, Reason: "measured"}, {Limit: weather.LimitFrost, Reason: "tented"}}
	others := in
	others.Stages = slow
	alike := in
	alike.Stages = benchStages()
	ask := func(in Input) *Result {
		p, err := Prepare(context.Background(), in)
		if err != nil {
			t.Error(err)
			return nil
		}
		r, err := p.Search(context.Background())
		if err != nil {
			t.Error(err)
			return nil
		}
		r.search = nil
		return r
	}
	inputs := []Input{in, lifted, others, alike}
	want := make([]*Result, len(inputs))
	for i, x := range inputs {
		want[i] = ask(x)
	}
	if reflect.DeepEqual(want[0], want[1]) || reflect.DeepEqual(want[0], want[2]) || !reflect.DeepEqual(want[0], want[3]) {
		t.Fatal("the programmes are no test of each other")
	}
	common := &Common{}
	var all sync.WaitGroup
	for range 3 {
		for i, x := range inputs {
			all.Go(func() {
				x.Common = common
				if got := ask(x); !reflect.DeepEqual(got, want[i]) {
					t.Errorf("programme %d tells another thing in company", i)
				}
			})
		}
	}
	all.Wait()
	films, fits := 0, 0
	for i := range inputs[0].Stages {
		if inputs[0].Stages[i].Film != nil {
			films++
		}
		if inputs[0].Stages[i].Limits != nil {
			fits++
		}
	}
	if len(common.films) == 0 || len(common.films) > 2*films || len(common.fits) == 0 || len(common.fits) > 3*fits {
		t.Errorf("%d films and %d limits are kept of %d and %d stages", len(common.films), len(common.fits), films, fits)
	}
}
