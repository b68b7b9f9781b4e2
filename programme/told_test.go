package programme

import (
	"context"
	"strings"
	"testing"
	"time"

	"gelwright/weather"
)

// A reason quotes the forecast's own figure where the forecast breaks the limit, and names the course it is of where only
// another does: nobody finds that figure in the forecast.
func TestAReasonSaysOfWhichCourseItIs(t *testing.T) {
	begin := time.Date(2026, 4, 24, 0, 0, 0, 0, time.UTC)
	wet := weather.LaminateLimits()
	for _, c := range []struct {
		rain         []float64 // by member, mm/h; the first is the forecast
		has, without string
	}{
		{[]float64{0, 0.2, 0.4}, "rain: 0.2 mm/h at 08:00 in a course drawn round the forecast, limit 0.1 mm/h", "limit 0.1 mm/h in"},
		{[]float64{0.3, 0.2, 0.4}, "rain: 0.3 mm/h at 08:00, limit 0.1 mm/h", "a course"},
	} {
		all := make([][]weather.Moment, len(c.rain))
		for m := range all {
			for q := range 24 * 4 {
				x := weather.Measured(begin.Add(time.Duration(q)*Quarter), 15, 15, 50, 2)
				x.RainMMPerH = c.rain[m]
				all[m] = append(all[m], x)
			}
		}
		p, err := Prepare(context.Background(), Input{Stages: []Stage{{Name: "lay", Kind: Laminate, Quarters: 4, Limits: &wet}},
			Members: all, Drawn: true, Site: benchSite, Hours: Hours{StartMin: 8 * 60, EndMin: 17 * 60}})
		if err != nil {
			t.Fatal(err)
		}
		s := Slot{Start: begin.Add(8 * time.Hour), End: begin.Add(9 * time.Hour)}
		if got := p.Against(&s, s.Start, s.End); !strings.Contains(got, c.has) || strings.Contains(got, c.without) {
			t.Errorf("rain %v: %q, want %q", c.rain, got, c.has)
		}
	}
}
