package web_test

import (
	"fmt"
	"net/http"
	"os"
	"strings"
	"testing"
)

// runOf is what a move would make, as it comes.
type runOf struct {
	From      string
	Days, Was []struct {
		ID      string
		Version int
		Sheet   with
	}
	Outlook struct{ Days []struct{ Date, At string } }
	Twice   []struct{ Date string }
}

// dates are those of the days that change.
func (r *runOf) dates() string {
	out := ""
	for _, d := range r.Days {
		out += " " + fmt.Sprint(d.Sheet["date"])[5:]
	}
	return out
}

// keep puts the days of a run as they would be.
func (s *served) keep(r *runOf) got {
	s.t.Helper()
	days := []with{}
	for _, d := range r.Days {
		days = append(days, with{"id": d.ID, "based_on": d.Version, "sheet": d.Sheet})
	}
	return s.do(ask{method: "PUT", path: "/api/office/days", body: jsonOf(s.t, with{"what": "moved", "days": days})})
}

// A roof is put into the calendar whole, with the days of its plan, and moved as one; before anything is kept it is told what would
// be, and how sure the roof is from its first day. The clock stands on Tuesday, 12 May 2026.
func TestARoofOfSeveralDaysMovesAsOne(t *testing.T) {
	s := serve(t)
	job := s.job("Garage", example(t, "r01-garage")).ID
	sky, err := os.ReadFile("../examples/forecast.csv")
	if err != nil {
		t.Fatal(err)
	}
	s.do(ask{method: "PUT", path: "/api/jobs/" + job + "/files/forecast.csv", body: string(sky), heads: []string{"Content-Type: text/csv"}})
	north := crew("North", "N", "Asha", "Bo")
	north["works"] = []string{"Mon", "Tue", "Wed", "Thu"}
	s.kept("/api/office/crews/"+id(2), 0, north)
	var told standing
	s.get("/api/office/jobs/"+job+"/standing", &told)
	run := "/api/office/jobs/" + job + "/run?crew=" + id(2)
	var planned runOf
	s.get(run+"&to=2026-05-15", &planned) // a Friday, on which they do not work
	if len(planned.Days) != len(told.Roof.Work) || len(planned.Days) == 0 || planned.From != "2026-05-18" || len(planned.Was) != 0 ||
		len(planned.Outlook.Days) == 0 {
		t.Errorf("as many days as its plan: %+v, want %d days", planned, len(told.Roof.Work))
	}
	for _, d := range planned.Outlook.Days {
		if d.Date == "2026-05-15" && d.At != "" {
			t.Errorf("begun on a Friday: %+v", d)
		}
	}
	planned = runOf{}
	s.get(run+"&to=2026-05-13&days=3", &planned)
	if planned.dates() != " 05-13 05-14 05-18" || planned.From != "2026-05-13" {
		t.Errorf("three days: %s from %s", planned.dates(), planned.From)
	}
	if g := s.keep(&planned); g.status != http.StatusOK {
		t.Fatalf("kept: %d %s", g.status, g.body)
	}
	s.refusedAs(s.do(ask{method: "GET", path: run + "&to=2026-05-13&days=2"}), http.StatusBadRequest, "refused")

	var moved runOf
	s.get(run+"&to=2026-05-19&day="+planned.Days[1].ID, &moved)
	if moved.dates() != " 05-18 05-19 05-20" || moved.From != "2026-05-18" || moved.Days[0].Version != 1 || fmt.Sprint(moved.Was[0].Sheet["date"]) !=
		"2026-05-13" {
		t.Errorf("moved: %+v", moved)
	}
	if g := s.keep(&moved); g.status != http.StatusOK {
		t.Fatalf("moved: %d %s", g.status, g.body)
	}
	late := s.keep(&moved) // it was asked for again: nothing new
	if late.status != http.StatusOK {
		t.Errorf("again: %d %s", late.status, late.body)
	}
	var cal struct {
		Rows []struct {
			Days [][]struct {
				Run     string
				Nth, Of int
			}
		}
	}
	s.get("/api/office/calendar?week=2026-W21", &cal)
	if c := cal.Rows[0].Days[2][0]; c.Nth != 3 || c.Of != 3 || c.Run != moved.Days[0].ID {
		t.Errorf("the third day: %+v", c)
	}
	// Somebody else changes one of the days: none of them is moved, and it is told which.
	s.kept("/api/office/days/"+moved.Days[2].ID, 2, day(job, id(2), "2026-05-21"))
	var back runOf
	s.get(run+"&to=2026-05-14&day="+moved.Days[2].ID+"&alone=true", &back)
	if back.dates() != " 05-14" || back.From != "2026-05-14" {
		t.Errorf("alone: %+v", back)
	}
	for i := range moved.Days {
		moved.Days[i].Version, moved.Days[i].Sheet["date"] = 2, "2026-05-2"+fmt.Sprint(5+i)
	}
	g := s.keep(&moved)
	s.refusedAs(g, http.StatusConflict, "conflict")
	if !strings.Contains(string(g.body), `"id":"`+moved.Days[2].ID) {
		t.Errorf("told: %s", g.body)
	}
	blank := s.job("Blank", `{"name":"Blank","decks":[]}`).ID
	s.refusedAs(s.do(ask{method: "GET", path: "/api/office/jobs/" + blank + "/run?to=2026-05-13"}), http.StatusBadRequest, "refused")
	s.kept("/api/office/days/"+id(9), 0, day(blank, id(2), "2026-05-13"))
	s.get(run+"&to=2026-05-13&day="+moved.Days[0].ID+"&alone=true", &back)
	if len(back.Twice) != 1 || back.Twice[0].Date != "2026-05-13" {
		t.Errorf("twice: %+v", back.Twice)
	}
}

// Where the jobs of a screen stand is one question.
func TestWhereTheJobsOfAScreenStand(t *testing.T) {
	s := serve(t)
	garage, blank := s.job("Garage", example(t, "r01-garage")).ID, s.job("Blank", `{"name":"Blank","decks":[]}`).ID
	var all struct {
		Standings []struct {
			ID   string
			Roof struct{ Decks int }
		}
	}
	s.get("/api/office/standings?jobs="+garage+","+blank, &all)
	if len(all.Standings) != 2 || all.Standings[0].ID != garage || all.Standings[0].Roof.Decks == 0 || all.Standings[1].Roof.Decks != 0 {
		t.Errorf("%+v", all)
	}
	s.refusedAs(s.do(ask{method: "GET", path: "/api/office/standings"}), http.StatusBadRequest, "query")
	s.refusedAs(s.do(ask{method: "GET", path: "/api/office/standings?jobs=" + id(77)}), http.StatusNotFound, "unknown")
}

// The week on one sheet tells a crew where its roofs are, how to get on them and whom to ring; a roof on which two crews begin is
// bought for once, and what is not named of its order is counted by its goods. No price stands on it.
func TestTheWeekOnOneSheet(t *testing.T) {
	s := serve(t)
	job := s.job("Garage", example(t, "r01-garage")).ID
	s.kept("/api/office/crews/"+id(2), 0, crew("North", "N", "Asha"))
	s.kept("/api/office/crews/"+id(3), 0, crew("South", "S", "Bo"))
	s.kept("/api/office/customers/"+id(4), 0, customer("Ada Quill \u5c71", "020 7946 0018"))
	s.kept("/api/office/sites/"+id(5), 0, with{"name": "Mill Yard", "address": []string{"Lower Mill", "Sedgefold"}, "access": "by the yard\nkey under the pot",
		"place": "", "note": "", "away": false})
	s.kept("/api/office/jobs/"+job, 0, with{"stage": "order", "why": "", "reached": []string{}, "customer": id(4), "site": id(5), "waits": []string{},
		"ordered": "", "note": ""})
	s.kept("/api/office/days/"+id(6), 0, day(job, id(2), "2026-05-13"))
	s.kept("/api/office/days/"+id(7), 0, day(job, id(3), "2026-05-13"))
	w, err := s.Server.Week(t.Context(), "2026-W20")
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(w.Roofs); got != "[{Garage [Mill Yard, Lower Mill, Sedgefold by the yard, key under the pot Ada Quill \u5c71, 020 7946 0018]}]" {
		t.Errorf("where and whom: %s", got)
	}
	if len(w.Fetch) != 1 || len(w.Rows) != 2 || len(w.Rows[1].Days[2]) != 1 {
		t.Fatalf("bought %d times: %+v", len(w.Fetch), w.Fetch)
	}
	last := w.Fetch[0].Lines[len(w.Fetch[0].Lines)-1]
	if !strings.Contains(last, "more lines of its order: ") || !strings.Contains(last, " trim") {
		t.Errorf("the rest of its order: %q", last)
	}
	if text := fmt.Sprintf("%+v", w); strings.ContainsAny(text, "£€$") {
		t.Errorf("a price stands on a crew's paper: %s", text)
	}
	s.get("/api/office/week.pdf?week=2026-W20", nil)
}
