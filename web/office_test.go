package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"strings"
	"testing"
)

// customer, crew and day are whole sheets.
func customer(name, telephone string) with {
	return with{"name": name, "address": []string{}, "telephone": telephone, "mail": "", "note": "", "away": false}
}

func crew(name, mark string, people ...string) with {
	return with{"name": name, "people": people, "mark": mark, "note": "", "away": false}
}

func day(job, crew, date string) with {
	return with{"job": job, "crew": crew, "date": date, "part": "whole", "note": "", "off": false}
}

// put sends a sheet and gives what came back.
func (s *served) put(path string, basedOn int, sheet with) got {
	s.t.Helper()
	return s.do(ask{method: "PUT", path: path, body: jsonOf(s.t, with{"based_on": basedOn, "who": "Asha", "what": "written", "sheet": sheet})})
}

// kept sends a sheet that must be kept.
func (s *served) kept(path string, basedOn int, sheet with) {
	s.t.Helper()
	if g := s.put(path, basedOn, sheet); g.status != http.StatusOK {
		s.t.Fatalf("PUT %s: %d %s", path, g.status, g.body)
	}
}

// id is the nth id.
func id(n int) string { return fmt.Sprintf("%032x", n) }

// chartOf is the chart as it comes.
type chartOf struct {
	Today  string
	Zone   string
	Stages []struct {
		Stage string
		Jobs  int
	}
	Lines []struct {
		ID, Title, Place, Customer, Stage, Next, Crew string
		Version                                       int
		Steps                                         []struct{ Done, Here bool }
		Waits                                         []struct{ For, Date, Text string }
	}
	Total int
}

func TestAJobOnItsWay(t *testing.T) {
	s := serve(t)
	job := s.job("Garage", example(t, "r01-garage")).ID
	s.kept("/api/office/customers/"+id(1), 0, customer("Ada Quill", "1"))
	s.kept("/api/office/crews/"+id(2), 0, crew("North", "N", "Asha", "Bo"))
	s.kept("/api/office/days/"+id(3), 0, day(job, id(2), "2026-05-14"))
	s.post("/api/office/jobs/"+job+"/stage", with{"based_on": 0, "stage": "on the roof", "why": "a repair"}, nil)
	var c chartOf
	s.get("/api/office/chart", &c)
	if len(c.Lines) != 1 || c.Total != 1 || c.Today != "2026-05-12" || len(c.Stages) != 8 || c.Stages[4].Jobs != 1 {
		t.Fatalf("chart: %+v", c)
	}
	l := c.Lines[0]
	if l.Stage != "on the roof" || l.Next != "2026-05-14" || l.Crew != id(2) || l.Version != 1 || !l.Steps[3].Done || !l.Steps[4].Here {
		t.Errorf("line: %+v", l)
	}
	if fmt.Sprint(l.Waits) != "[{no customer  } {not ordered  }]" {
		t.Errorf("waits: %v", l.Waits)
	}
	var cal struct {
		Week  string
		Dates []string
		Rows  []struct {
			Mark string
			Days [][]struct {
				Title string
				Nth   int
			}
		}
	}
	s.get("/api/office/calendar?week=2026-W20&weeks=2", &cal)
	if len(cal.Dates) != 14 || cal.Rows[0].Mark != "N" || cal.Rows[0].Days[3][0].Title != "Garage" || cal.Rows[0].Days[3][0].Nth != 1 {
		t.Errorf("calendar: %+v", cal)
	}
	var found struct {
		Found []struct {
			In   string
			Hits []struct{ Text string }
		}
	}
	s.get("/api/office/find?find=QUILL", &found)
	if len(found.Found) != 1 || found.Found[0].In != "customer" || found.Found[0].Hits[0].Text != "Ada Quill" {
		t.Errorf("found: %+v", found)
	}
	s.refusedAs(s.do(ask{method: "GET", path: "/api/office/calendar?week=20"}), http.StatusBadRequest, "refused")
	if s.get("/api/office/chart?open=true", &c); len(c.Lines) != 1 || c.Zone != "UTC" {
		t.Errorf("open jobs: %+v", c)
	}
	s.post("/api/office/jobs/"+job+"/stage", with{"based_on": 1, "stage": "aftercare", "why": "all paid"}, nil)
	if s.get("/api/office/chart?open=true", &c); len(c.Lines) != 0 || c.Total != 0 {
		t.Errorf("one that is handed over is open: %+v", c)
	}
	for place, body := range map[string]string{"on": `{"based_on":2,"stage":"design","on":"2026-05-13"}`, "why": `{"based_on":2,"stage":"not taken"}`} {
		g := s.do(ask{method: "POST", path: "/api/office/jobs/" + job + "/stage", body: body})
		if s.refusedAs(g, http.StatusBadRequest, "refused"); !strings.Contains(string(g.body), `"place":"`+place+`"`) {
			t.Errorf("%s: %s", place, g.body)
		}
	}
	s.refusedAs(s.do(ask{method: "POST", path: "/api/office/jobs/" + job + "/stage", body: `{"based_on":1,"stage":"sold"}`}),
		http.StatusBadRequest, "refused")
}

// standing is where a job stands as it comes.
type standing struct {
	Stage, Next string
	Waits       []struct {
		For, Text string
		N         int
		P         float64
	}
	Roof struct {
		Decks, Faults, Questions, Stops int
		Fault                           string
		AreaM2                          float64 `json:"area_m2"`
		Outlook                         struct {
			Target float64
			None   string
			Days   []struct {
				Date, At, Why string
				P             float64
				Sure          bool
			}
		}
		Work []struct {
			Date string
			Work []string
		}
		Fetch []string
	}
}

func TestWhatTheRoofOfAJobSays(t *testing.T) {
	s := serve(t)
	blank := s.job("Blank", `{"name":"Blank","decks":[]}`).ID
	var got standing
	taped := s.job("Taped", `{"deck":{"survey":{"walk":"4.8 left 3.6 left 4.8 left 3.6"}}}`).ID
	if s.get("/api/office/jobs/"+taped+"/standing", &got); got.Roof.Decks != 1 {
		t.Errorf("a roof that was taped: %+v", got.Roof)
	}
	got = standing{}
	if s.get("/api/office/jobs/"+blank+"/standing", &got); got.Roof.Decks != 0 || got.Roof.Faults != 0 {
		t.Errorf("an empty roof: %+v", got.Roof)
	}
	broken := s.job("Broken", `{"name":"Broken","deck":{"outline":[[0,0],[1,0]]}}`).ID
	s.post("/api/office/jobs/"+broken+"/stage", with{"based_on": 0, "stage": "survey"}, nil)
	if s.get("/api/office/jobs/"+broken+"/standing", &got); got.Roof.Decks != 1 || got.Roof.Faults == 0 || got.Roof.Fault == "" ||
		got.Waits[1].For != "faults" || got.Waits[1].N != got.Roof.Faults {
		t.Errorf("a roof with faults: %+v", got)
	}
	garage := s.job("Garage", example(t, "r01-garage")).ID
	s.kept("/api/office/days/"+id(3), 0, day(garage, "", "2026-05-14"))
	s.post("/api/office/jobs/"+garage+"/stage", with{"based_on": 0, "stage": "on the roof", "why": "a repair"}, nil)
	got = standing{}
	s.get("/api/office/jobs/"+garage+"/standing", &got)
	if got.Roof.AreaM2 < 17 || got.Roof.AreaM2 > 19 || got.Roof.Faults != 0 || len(got.Roof.Outlook.Days) != 0 || len(got.Roof.Work) == 0 ||
		len(got.Roof.Fetch) < 5 || !strings.Contains(got.Roof.Fetch[len(got.Roof.Fetch)-1], "more lines of its order") ||
		got.Next != "2026-05-14" {
		t.Errorf("a roof without a forecast: %+v", got)
	}
	if last := got.Waits[len(got.Waits)-1]; last.For != "weather far" {
		t.Errorf("waits: %+v", got.Waits)
	}
}

// The forecast of a job says how sure each of its days is, as the page's own day does.
func TestHowSureADayIs(t *testing.T) {
	s := serve(t)
	garage := s.job("Garage", example(t, "r01-garage")).ID
	sky, err := os.ReadFile("../examples/forecast.csv")
	if err != nil {
		t.Fatal(err)
	}
	s.do(ask{method: "PUT", path: "/api/jobs/" + garage + "/files/forecast.csv", body: string(sky), heads: []string{"Content-Type: text/csv"}})
	var got standing
	s.get("/api/office/jobs/"+garage+"/standing", &got)
	days := got.Roof.Outlook.Days
	if got.Roof.Outlook.Target != 0.9 || len(days) < 4 || days[0].Date != "2026-05-12" || got.Roof.Outlook.None != "" {
		t.Fatalf("outlook: %+v", got.Roof.Outlook)
	}
	last := days[len(days)-1]
	if last.P != 0 || last.Why == "" || last.At != "" || days[0].P < 0.5 || days[0].At == "" {
		t.Errorf("the first and the last day: %+v, %+v", days[0], last)
	}
	for _, d := range days {
		if d.Sure && d.P < 0.9 {
			t.Errorf("%+v is sure", d)
		}
	}
	if len(got.Roof.Work) == 0 || got.Roof.Work[0].Date == "" || len(got.Roof.Work[0].Work) == 0 {
		t.Errorf("work: %+v", got.Roof.Work)
	}
	var few standing
	s.get("/api/office/jobs/"+garage+"/standing?people=1", &few)
	if fmt.Sprint(few.Roof.Outlook.Days) == fmt.Sprint(days) {
		t.Error("one man alone has the chances of a crew")
	}
}

// Of two who change one sheet the second is told what is there now, what differs, and what both make together.
func TestTheSecondIsTold(t *testing.T) {
	s := serve(t)
	at := "/api/office/customers/" + id(1)
	s.kept(at, 0, customer("Ada", "1"))
	s.kept(at, 1, customer("Ada Quill", "1"))
	g := s.put(at, 1, customer("Ada", "2"))
	s.refusedAs(g, http.StatusConflict, "conflict")
	var told struct {
		Overtaken struct {
			Version int
			Who     string
			Sheet   with
			Differs []struct {
				Field             string
				Was, Mine, Theirs json.RawMessage
				Both              bool
			}
			Joined with
		}
	}
	if err := json.Unmarshal(g.body, &told); err != nil {
		t.Fatal(err)
	}
	o := told.Overtaken
	if o.Version != 2 || o.Who != "Asha" || o.Sheet["name"] != "Ada Quill" || len(o.Differs) != 2 || o.Joined["name"] != "Ada Quill" ||
		o.Joined["telephone"] != "2" || string(o.Differs[1].Mine) != `"2"` {
		t.Errorf("told: %s", g.body)
	}
	s.kept(at, o.Version, o.Joined)
	job := s.job("Garage", `{}`).ID
	s.post("/api/office/jobs/"+job+"/stage", with{"based_on": 0, "stage": "survey"}, nil)
	late := s.do(ask{method: "POST", path: "/api/office/jobs/" + job + "/stage", body: `{"based_on":0,"stage":"order"}`})
	s.refusedAs(late, http.StatusConflict, "conflict")
	var versions struct{ Sheets []struct{ What string } }
	if s.get("/api/office/jobs/"+job+"/versions", &versions); len(versions.Sheets) != 1 || versions.Sheets[0].What != "moved to survey" {
		t.Errorf("versions: %+v", versions)
	}
	if strings.Contains(string(late.body), `"overtaken"`) == false {
		t.Errorf("told: %s", late.body)
	}
}
