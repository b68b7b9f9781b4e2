package programme

import (
	"encoding/json"
	"testing"
	"time"
	_ "time/tzdata" // zones on any machine
)

// A stored zone shows what the published one shows, over the hours at which clocks are put
// forward and back.
func TestStoredZoneShowsTheSameClocks(t *testing.T) {
	for _, name := range []string{"Europe/London", "Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata", "Africa/Casablanca", "UTC"} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		from := time.Date(2026, 3, 1, 0, 0, 0, 0, zone)
		a := &Ahead{Zone: zone, Fortnight: []WorkHours{{Work: "laminate", Hours: []Hour{{Time: from}, {Time: from.AddDate(0, 10, 0)}}}},
			Days: []*Day{{From: from, To: from.AddDate(0, 0, 1), Instants: make([]Instant, 2)}}}
		raw, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		var b Ahead
		if err := json.Unmarshal(raw, &b); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for at := from.Add(-23 * time.Hour); at.Before(from.AddDate(0, 10, 0)); at = at.Add(30 * time.Minute) {
			if got, want := at.In(b.Zone).Format(time.RFC1123), at.In(zone).Format(time.RFC1123); got != want {
				t.Fatalf("%s: %s, want %s", name, got, want)
			}
		}
		if b.Days[0].Zone != b.Zone {
			t.Errorf("%s: a day without its zone", name)
		}
		again, err := json.Marshal(&b)
		if err != nil {
			t.Fatal(err)
		}
		if string(again) != string(raw) {
			t.Errorf("%s: written again it reads\n%s\nnot\n%s", name, again, raw)
		}
	}
}

func TestZonesThatCannotBeAreRefused(t *testing.T) {
	for name, text := range map[string]string{
		"no clocks":    `{"time_zone":{"name":"x","clocks":[]}}`,
		"days ahead":   `{"time_zone":{"name":"x","clocks":[{"from":"2026-03-01T00:00:00Z","east_s":90000,"short":"X"}]}}`,
		"no name":      `{"time_zone":{"name":"x","clocks":[{"from":"2026-03-01T00:00:00Z","east_s":0,"short":""}]}}`,
		"out of order": `{"time_zone":{"name":"x","clocks":[{"from":"2026-03-02T00:00:00Z","east_s":0,"short":"A"},{"from":"2026-03-01T00:00:00Z","east_s":0,"short":"B"}]}}`,
		"empty day":    `{"time_zone":{"name":"x","clocks":[{"from":"2026-03-02T00:00:00Z","east_s":0,"short":"A"}]},"days":[null]}`,
	} {
		var a Ahead
		if json.Unmarshal([]byte(text), &a) == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}
