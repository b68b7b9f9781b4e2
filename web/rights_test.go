package web_test

import (
	"net/http"
	"strings"
	"testing"

	"gelwright/people"
)

// mayAsk are the letters of who may ask for each row of the table: nobody (-), owner, estimator, crew, customer (u).
var mayAsk = map[string]string{
	"GET /{name...}":             "-oecu",
	"GET /{$}":                   "oec",
	"GET /v/{version}/{name...}": "-oecu",
	"GET /favicon.ico":           "-oecu",
	"GET /api/openapi.json":      "-oecu",
	"GET /api/version":           "-oecu",
	"GET /api/me":                "-oecu",

	"GET /api/examples":        "oec",
	"GET /api/examples/{name}": "oec",

	"GET /api/jobs":                                    "oec",
	"POST /api/jobs":                                   "oe",
	"POST /api/jobs/import":                            "oe",
	"GET /api/jobs/{id}":                               "oec",
	"POST /api/jobs/{id}/copy":                         "oe",
	"POST /api/jobs/{id}/retire":                       "oe",
	"GET /api/jobs/{id}/export":                        "oe",
	"GET /api/jobs/{id}/states":                        "oec",
	"POST /api/jobs/{id}/states":                       "oe",
	"POST /api/jobs/{id}/join":                         "oe",
	"POST /api/jobs/{id}/restore":                      "oe",
	"GET /api/jobs/{id}/files":                         "oec",
	"GET /api/jobs/{id}/roof.yaml":                     "oec",
	"GET /api/jobs/{id}/papers":                        "oec",
	"GET /api/jobs/{id}/onefile.html":                  "oe",
	"GET /api/jobs/{id}/alternatives":                  "oec",
	"GET /api/jobs/{id}/states/{seq}":                  "oec",
	"GET /api/jobs/{id}/files/{name}":                  "oec",
	"PUT /api/jobs/{id}/files/{name}":                  "oec",
	"GET /api/jobs/{id}/papers/{name...}":              "oec",
	"GET /api/jobs/{id}/states/{seq}/papers/{name...}": "oec",
}

// Each row of the table is asked by nobody and by each role; who may not is told so, and a customer that there is nothing.
// ASVS 8.2.1, 8.2.2, 8.3.1.
func TestEveryRouteAsksForItsRight(t *testing.T) {
	s := serve(t)
	job := s.job("Garage", `{}`).ID
	s.Accounts = true
	askers := []struct {
		letter string
		actor  people.Actor
		status int
		code   string
	}{
		{"-", people.Actor{}, http.StatusUnauthorized, "sign in"},
		{"o", people.Actor{ID: "1", Name: "Asha", Role: people.Owner}, http.StatusForbidden, "right"},
		{"e", people.Actor{ID: "2", Name: "Bo", Role: people.Estimator}, http.StatusForbidden, "right"},
		{"c", people.Actor{ID: "3", Name: "Cem", Role: people.Crew}, http.StatusForbidden, "right"},
		{"u", people.Actor{Name: "customer", Role: people.Customer, Job: job}, http.StatusNotFound, "unknown"},
	}
	for _, row := range s.Table() {
		name := row.Method + " " + row.Pattern
		may, told := mayAsk[name]
		if !told {
			t.Errorf("%s: the test does not say who may ask for it", name)
			continue
		}
		q := asksOf[name]
		path := strings.ReplaceAll(q.path, "JOB", job)
		for _, by := range askers {
			s.Ask(by.actor)
			g := s.do(ask{method: row.Method, path: path, body: q.body})
			if !strings.Contains(may, by.letter) {
				s.refusedAs(g, by.status, by.code)
				continue
			}
			if g.status == http.StatusUnauthorized || g.status == http.StatusForbidden {
				t.Errorf("%s as %q: %d %.200s", name, by.letter, g.status, g.body)
			}
		}
	}
	for name := range mayAsk {
		if _, there := asksOf[name]; !there {
			t.Errorf("%s is no route", name)
		}
	}
}

// What is done bears the name of who is signed in, whatever the question says.
func TestNobodySignsForAnother(t *testing.T) {
	s := serve(t)
	s.Accounts = true
	s.Ask(people.Actor{ID: "1", Name: "Asha", Role: people.Owner})
	id := s.job("Garage", `{}`).ID // its question names somebody
	at := "/api/jobs/" + id
	s.post(at+"/states", with{"id": "s2", "based_on": 1, "who": "Bo", "document": with{"roof": with{}}}, nil)
	s.post(at+"/restore", with{"seq": 1, "id": "s3", "who": "Bo"}, nil)
	var list struct{ States []struct{ Who string } }
	s.get(at+"/states", &list)
	if len(list.States) != 3 {
		t.Fatalf("%d states, want 3", len(list.States))
	}
	for i, x := range list.States {
		if x.Who != "Asha" {
			t.Errorf("state %d is by %q", i, x.Who)
		}
	}
	var me struct {
		Accounts   bool
		Name, Role string
		Rights     []people.Right
	}
	s.get("/api/me", &me)
	if !me.Accounts || me.Name != "Asha" || me.Role != "owner" || len(me.Rights) != 9 {
		t.Errorf("asked who asks: %+v", me)
	}
}
