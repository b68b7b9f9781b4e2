package main

import (
	"encoding/json"
	"strings"
	"testing"

	"gelwright/web"
)

// A run of days is planned, moved as one, told beforehand, and one day of it by itself. The days lie far ahead of any clock: 1 July 2099
// is a Wednesday.
func TestTheDaysOfARoofAreMoved(t *testing.T) {
	dir := t.TempDir()
	called(t, 0, "jobs", "import", "../../store/sqlite/testdata/kept-1/garage.zip", "--data", dir)
	called(t, 0, "office", "crew", "--name", "North", "--mark", "N", "--data", dir)
	said, _ := called(t, 0, "office", "run", "0123", "--from", "2099-07-01", "--days", "3", "--json", "--data", dir)
	var run web.Run
	if err := json.Unmarshal([]byte(said), &run); err != nil || len(run.Days) != 3 {
		t.Fatalf("planned: %s (%v)", said, err)
	}
	days := func() string {
		said, _ := called(t, 0, "office", "day", "--json", "--data", dir)
		var list []struct{ Sheet struct{ Date, Crew string } }
		if err := json.Unmarshal([]byte(said), &list); err != nil {
			t.Fatal(err)
		}
		out := ""
		for _, d := range list {
			out += " " + d.Sheet.Date[5:]
			if d.Sheet.Crew != "" {
				out += "N"
			}
		}
		return out
	}
	if days() != " 07-01 07-02 07-03" {
		t.Errorf("planned: %s", days())
	}
	second := string(run.Days[1].ID)
	said, _ = called(t, 0, "office", "move", second, "--to", "2099-07-03", "--crew", "N", "--look", "--data", dir)
	if lines := strings.Split(said, "\n"); days() != " 07-01 07-02 07-03" || !strings.HasSuffix(lines[2], "Mon 2099-07-06  N North") ||
		!strings.HasPrefix(lines[3], "Thu 2099-07-02: not known") {
		t.Errorf("looked at: %s", said)
	}
	called(t, 0, "office", "move", second, "--to", "2099-07-03", "--crew", "N", "--data", dir)
	if days() != " 07-02N 07-03N 07-06N" {
		t.Errorf("moved: %s", days())
	}
	called(t, 0, "office", "move", second, "--to", "2099-07-08", "--alone", "--data", dir)
	if days() != " 07-02N 07-06N 07-08N" {
		t.Errorf("one alone: %s", days())
	}
	if said, _ = called(t, 0, "office", "move", second, "--to", "2099-07-08", "--data", dir); !strings.HasPrefix(said, "nothing changes\n") {
		t.Errorf("where it is: %s", said)
	}
}
