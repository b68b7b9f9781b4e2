package desk_test

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"gelwright/desk"
	"gelwright/roof"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// Longer hours are a remedy only where they make all of it sure, with the chance that they give; they lie within the daylight of the
// place. Where they do not, that is said, with what they would give.
func TestLongerHoursAreOfDaylightAndMakeItSure(t *testing.T) {
	var fair strings.Builder
	fair.WriteString("time,air_c,rh_pct,wind_ms,rain_mm,cloud_pct\n")
	begin := time.Date(2026, 5, 11, 0, 0, 0, 0, time.UTC)
	for h := range 14 * 24 {
		fmt.Fprintf(&fair, "%s,16,55,2,0,60\n", begin.Add(time.Duration(h)*time.Hour).Format("2006-01-02 15:04"))
	}
	words := regexp.MustCompile(`(?:longer hours do not \(|work )from (\d\d:\d\d) to (\d\d:\d\d), by daylight`)
	for _, c := range []struct {
		name string
		sure bool
		want string
	}{{"r04-l-shape", false, "longer hours do not"}, {"r01-garage", true, "then it holds with 9"}} {
		g, sky := example(t, c.name)
		site, err := desk.SiteOf(&g.Job)
		if err != nil {
			t.Fatal(err)
		}
		if c.sure {
			g.Job.Crew.Start, g.Job.Crew.End = roof.ClockAt(12*60), roof.ClockAt(14*60)
			if sky, err = forecast.Read([]byte(fair.String()), forecast.Options{Name: "fair.csv", Zone: site.Zone}); err != nil {
				t.Fatal(err)
			}
		}
		look := desk.UsualLook()
		look.From = "2026-05-11"
		p, err := desk.PlanUnder(context.Background(), g, sky, look)
		if err != nil {
			t.Fatal(err)
		}
		m := words.FindStringSubmatch(p.Schedule.Reason)
		if m == nil || !strings.Contains(p.Schedule.Reason, c.want) {
			t.Errorf("%s: %q", c.name, p.Schedule.Reason)
			continue
		}
		light := weather.DaylightOn(begin.Add(12*time.Hour), site)
		rise, set := light.Rise.In(site.Zone).Format("15:04"), light.Set.In(site.Zone).Format("15:04")
		if m[1] < rise || m[2] > set || m[1] < "05:00" || m[2] > "21:00" {
			t.Errorf("%s: from %s to %s; the sun is up from %s to %s", c.name, m[1], m[2], rise, set)
		}
	}
}
