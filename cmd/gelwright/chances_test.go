package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// The chance that 'when' prints beside a stage is that of its call, which the papers print beside the same start: stripping is
// begun to be boarded.
func TestWhenTellsTheChanceOfTheCall(t *testing.T) {
	const forecast = "../../examples/forecast.csv"
	// No plan is sure in this forecast: the command says so by its error too.
	text, err := say(whenCommand(), garage, "--forecast", forecast)
	if err == nil {
		t.Error("a plan is sure")
	}
	raw, _ := say(whenCommand(), garage, "--forecast", forecast, "--json")
	var got struct {
		Likeliest struct {
			Slots []struct {
				Name string
				P    float64
				Call struct{ P float64 }
			}
		}
	}
	if err := json.Unmarshal([]byte(raw), &got); err != nil {
		t.Fatal(err)
	}
	differ := 0
	for _, s := range got.Likeliest.Slots {
		if strings.Contains(s.Name, ", part ") {
			continue // parts that follow one another share a line
		}
		if s.P != s.Call.P {
			differ++
		}
		found := false
		for line := range strings.Lines(text) {
			if strings.HasPrefix(line, s.Name+" ") {
				found = found || strings.HasSuffix(strings.TrimSpace(line), fmt.Sprintf("%.0f %%", 100*s.Call.P))
			}
		}
		if !found {
			t.Errorf("%s: no line ends with %.0f %%:\n%s", s.Name, 100*s.Call.P, text)
		}
	}
	if differ == 0 {
		t.Error("no stage's own chance differs from that of its call: the test tells nothing")
	}
}
