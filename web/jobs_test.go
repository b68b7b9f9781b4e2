package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
)

const noJob = "/api/jobs/00000000000000000000000000000000"

type listed struct {
	Jobs []struct {
		ID, Title, Site, Changed string
		States                   int
	}
	More  bool
	Total int
}

func TestJobsAreBegunListedAndFound(t *testing.T) {
	s := serve(t)
	a := s.job("Garage", `{"name":"Garage at Lower Mill","site":{"name":"Lower Mill"}}`)
	var b begun
	s.post("/api/jobs", with{"who": "Asha", "state": with{"id": "x", "what": "drawn",
		"document": json.RawMessage(`{"page":{"zoom":2},"roof":{"name":"Dormer\nat Gull <Brae>","site":{"name":"Gull Brae"}}}`)}}, &b)
	if a.Seq != 1 || b.Seq != 1 || a.ID == b.ID {
		t.Fatalf("begun: %+v, %+v", a, b)
	}
	var all listed
	s.get("/api/jobs", &all)
	if len(all.Jobs) != 2 || all.More || all.Total != 2 {
		t.Fatalf("listed: %+v", all)
	}
	for _, ask := range []struct {
		find string
		want []string
	}{{"gull", []string{"Dormer at Gull <Brae>"}}, {"garage", []string{"Garage"}}, {"nothing", nil}, {b.ID[:6], []string{"Dormer at Gull <Brae>"}}} {
		var found listed
		s.get("/api/jobs?find="+ask.find, &found)
		var titles []string
		for _, j := range found.Jobs {
			titles = append(titles, j.Title)
		}
		if fmt.Sprint(titles) != fmt.Sprint(ask.want) {
			t.Errorf("find %q: %q, want %q", ask.find, titles, ask.want)
		}
	}
	var one struct {
		ID, Title, Site, Who string
		Seq                  int
		Document             json.RawMessage
	}
	s.get("/api/jobs/"+b.ID, &one)
	if one.Title != "Dormer at Gull <Brae>" || one.Site != "Gull Brae" || one.Seq != 1 || one.Who != "Asha" ||
		string(one.Document) != `{"page":{"zoom":2},"roof":{"name":"Dormer\nat Gull <Brae>","site":{"name":"Gull Brae"}}}` {
		t.Errorf("the job is %+v with %s", one, one.Document)
	}
}

func TestAJobCanBeAskedForAgain(t *testing.T) {
	s := serve(t)
	id := "0123456789abcdef0123456789abcdef"
	q := with{"id": id, "title": "Garage", "who": "Asha", "state": with{"id": "s1", "what": "drawn", "document": json.RawMessage(`{"roof":{}}`)}}
	for range 2 {
		var b begun
		if s.post("/api/jobs", q, &b); b.ID != id || b.Seq != 1 {
			t.Errorf("begun: %+v", b)
		}
	}
	q["title"] = "Another"
	s.refusedAs(s.do(ask{method: "POST", path: "/api/jobs", body: jsonOf(t, q)}), http.StatusConflict, "clash")
	var all listed
	if s.get("/api/jobs", &all); len(all.Jobs) != 1 {
		t.Errorf("listed: %+v", all)
	}
}

func TestWrongQuestionsForJobs(t *testing.T) {
	s := serve(t)
	state := `"state":{"id":"s","what":"","document":{"roof":{}}}`
	for _, x := range []struct {
		body, code string
		status     int
	}{
		{``, "media", http.StatusUnsupportedMediaType}, // nothing is said of a body that is not there
		{`{`, "body", http.StatusBadRequest},
		{`[]`, "body", http.StatusBadRequest},
		{`{"title":"x","who":"y",` + state + `} {}`, "body", http.StatusBadRequest},
		{`{"title":"x","who":"y","admin":true,` + state + `}`, "body", http.StatusBadRequest},
		{`{"title":7,"who":"y",` + state + `}`, "body", http.StatusBadRequest},
		{`{"title":"x","who":"y"}`, "body", http.StatusBadRequest},
		{`{"title":"x","who":"y","state":{"id":"s","document":{"roof":[]}}}`, "body", http.StatusBadRequest},
		{`{"title":"x","who":"y","state":{"id":"s","document":[{"roof":{}}]}}`, "body", http.StatusBadRequest},
		{`{"title":"x",` + state + `}`, "refused", http.StatusBadRequest},
		{`{"who":"y",` + state + `}`, "refused", http.StatusBadRequest},
		{`{"title":"x","who":"y","state":{"id":"../s","document":{"roof":{}}}}`, "refused", http.StatusBadRequest},
		{`{"id":"../../x","title":"x","who":"y",` + state + `}`, "refused", http.StatusBadRequest},
		{`{"title":"` + strings.Repeat("x", 201) + `","who":"y",` + state + `}`, "large", http.StatusRequestEntityTooLarge},
		{`{"title":"x","who":"y","state":{"id":"s","document":{"roof":{"n":"` + strings.Repeat("x", 4<<20) + `"}}}}`, "large", http.StatusRequestEntityTooLarge},
		{strings.Repeat(" ", 9<<20), "large", http.StatusRequestEntityTooLarge},
	} {
		g := s.do(ask{method: "POST", path: "/api/jobs", body: x.body})
		s.refusedAs(g, x.status, x.code)
		if t.Failed() {
			t.Fatalf("asked with %.80s", x.body)
		}
	}
	for _, path := range []string{"/api/jobs?find=a&find=b", "/api/jobs?page=-1", "/api/jobs?page=x", "/api/jobs?sort=title", "/api/jobs?find=%zz"} {
		s.refusedAs(s.do(ask{method: "GET", path: path}), http.StatusBadRequest, "query")
	}
	var all listed
	if s.get("/api/jobs", &all); len(all.Jobs) != 0 {
		t.Errorf("a wrong question left %+v", all)
	}
}

func TestCopiesAlternativesAndRetirement(t *testing.T) {
	s := serve(t)
	a := s.job("Garage", `{"name":"Garage"}`)
	var copied, other begun
	s.post("/api/jobs/"+a.ID+"/copy", with{"title": "Neighbour's"}, &copied)
	s.post("/api/jobs/"+a.ID+"/copy", with{"title": "With a hip", "alternative": true, "who": "Asha"}, &other)
	var jobs struct{ Alternatives []struct{ ID, Title string } }
	s.get("/api/jobs/"+a.ID+"/alternatives", &jobs)
	if len(jobs.Alternatives) != 2 || jobs.Alternatives[0].ID != a.ID || jobs.Alternatives[1].Title != "With a hip" {
		t.Errorf("alternatives: %+v", jobs)
	}
	s.post("/api/jobs/"+a.ID+"/retire", with{}, nil)
	var all listed
	if s.get("/api/jobs", &all); len(all.Jobs) != 2 {
		t.Errorf("after one was retired: %+v", all)
	}
	if s.get("/api/jobs?retired=1", &all); len(all.Jobs) != 3 {
		t.Errorf("with the retired: %+v", all)
	}
	s.post("/api/jobs/"+a.ID+"/retire", with{"back": true}, nil)
	if s.get("/api/jobs", &all); len(all.Jobs) != 3 {
		t.Errorf("brought back: %+v", all)
	}
}
