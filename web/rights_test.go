package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"gelwright/people"
)

// mayAsk are the letters of who may ask for each row of the table: nobody (-), owner, estimator, crew, customer (u).
var mayAsk = map[string]string{
	"GET /{name...}":             "-oecu",
	"GET /{$}":                   "oec",
	"GET /v/{version}/{name...}": "-oecu",
	"GET /favicon.ico":           "-oecu",
	"GET /healthz":               "-oecu",
	"GET /api/openapi.json":      "-oecu",
	"GET /api/version":           "-oecu",
	"GET /api/me":                "-oecu",

	"GET /api/examples":        "oec",
	"GET /api/examples/{name}": "oec",

	"GET /api/office/chart":                   "oec",
	"GET /api/office/find":                    "oec",
	"GET /api/office/calendar":                "oec",
	"GET /api/office/week.pdf":                "oec",
	"GET /office.html":                        "oec",
	"GET /api/office/jobs/{id}/standing":      "oec",
	"GET /api/office/jobs/{id}/run":           "oec",
	"GET /api/office/standings":               "oec",
	"POST /api/office/jobs/{id}/stage":        "oe",
	"GET /api/office/jobs/{id}":               "oec",
	"GET /api/office/jobs/{id}/versions":      "oec",
	"PUT /api/office/jobs/{id}":               "oe",
	"GET /api/office/customers/{id}":          "oec",
	"GET /api/office/customers/{id}/versions": "oec",
	"PUT /api/office/customers/{id}":          "oe",
	"GET /api/office/customers":               "oec",
	"GET /api/office/sites/{id}":              "oec",
	"GET /api/office/sites/{id}/versions":     "oec",
	"PUT /api/office/sites/{id}":              "oe",
	"GET /api/office/sites":                   "oec",
	"GET /api/office/crews/{id}":              "oec",
	"GET /api/office/crews/{id}/versions":     "oec",
	"PUT /api/office/crews/{id}":              "oe",
	"GET /api/office/crews":                   "oec",
	"GET /api/office/days/{id}":               "oec",
	"GET /api/office/days/{id}/versions":      "oec",
	"PUT /api/office/days/{id}":               "oe",
	"PUT /api/office/days":                    "oe",
	"GET /api/office/days":                    "oec",
	"GET /api/tasks":                          "oec",
	"GET /api/tasks/{task}":                   "oec",
	"POST /api/tasks/{task}/cancel":           "oe",
	"POST /api/morning":                       "oe",
	"GET /api/reminders":                      "oec",
	"POST /api/jobs/{id}/papers":              "oe",
	"GET /api/jobs/{id}/weather":              "oec",
	"POST /api/jobs/{id}/weather":             "oe",
	"POST /api/jobs/{id}/readings":            "oec",

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

	"GET /sign-in":                                  "-oecu",
	"GET /invitation":                               "-oecu",
	"GET /first-owner":                              "-oecu",
	"POST /api/first-owner":                         "-oecu",
	"GET /customer":                                 "-oecu",
	"GET /account":                                  "oec",
	"GET /people":                                   "o",
	"GET /customers":                                "oe",
	"GET /deeds":                                    "o",
	"POST /api/sign-in":                             "-oecu",
	"POST /api/sign-in/passkey/begin":               "-oecu",
	"POST /api/sign-in/passkey":                     "-oecu",
	"POST /api/sign-out":                            "oec",
	"POST /api/invitation":                          "-oecu",
	"POST /api/invitation/accept":                   "-oecu",
	"POST /api/account/password":                    "oec",
	"GET /api/account/sessions":                     "oec",
	"POST /api/account/sessions/end":                "oec",
	"POST /api/account/sessions/{pass}/end":         "oec",
	"GET /api/account/tokens":                       "oec",
	"POST /api/account/tokens":                      "oec",
	"POST /api/account/tokens/{pass}/end":           "oec",
	"GET /api/account/passkeys":                     "oec",
	"POST /api/account/passkeys/begin":              "oec",
	"POST /api/account/passkeys":                    "oec",
	"POST /api/account/passkeys/{passkey}/end":      "oec",
	"GET /api/people":                               "o",
	"POST /api/people":                              "o",
	"POST /api/people/{person}/invite":              "o",
	"POST /api/people/{person}/role":                "o",
	"POST /api/people/{person}/end":                 "o",
	"GET /api/people/{person}/sessions":             "o",
	"POST /api/people/{person}/sessions/{pass}/end": "o",
	"GET /api/deeds":                                "o",
	"GET /api/jobs/{id}/links":                      "oe",
	"POST /api/jobs/{id}/links":                     "oe",
	"POST /api/jobs/{id}/links/{link}/end":          "oe",
	"GET /api/jobs/{id}/shown":                      "oec",
	"POST /api/jobs/{id}/files/{name}/shown":        "oe",
	"POST /api/customer":                            "-oecu",
	"GET /api/customer":                             "u",
	"GET /api/customer/papers/{name}":               "u",
	"GET /api/customer/photos/{name}":               "u",
}

// staff is a server with accounts, and somebody of each role.
type staff struct {
	*served
	ids   map[string]string // by letter
	asked int
	link  string // the secret of a customer's link
}

// staffOf switches accounts on; the customer's link is for a job.
func staffOf(s *served, job string) *staff {
	s.t.Helper()
	f := &staff{served: s, ids: map[string]string{}}
	s.Accounts = true
	for letter, role := range map[string]people.Role{"o": people.Owner, "e": people.Estimator, "c": people.Crew} {
		visit := people.Visit{From: "192.0.2.7"}
		a, err := s.Door().Add(s.t.Context(), visit, people.ThisComputer, "name-"+letter, "Name "+letter, role)
		if err != nil {
			s.t.Fatal(err)
		}
		secret, _, err := s.Door().Invite(s.t.Context(), visit, people.ThisComputer, a.ID)
		if err == nil {
			_, _, err = s.Door().Accept(s.t.Context(), visit, secret, "a password of "+letter)
		}
		if err != nil {
			s.t.Fatal(err)
		}
		f.ids[letter] = a.ID
	}
	secret, _, err := s.Door().MakeLink(s.t.Context(), people.Visit{}, people.ThisComputer, job, "Ms Example", s.Now().Add(time.Hour))
	if err != nil {
		s.t.Fatal(err)
	}
	f.link = secret
	return f
}

// heads are those of a browser in which somebody has signed in, newly each time, or opened a customer's link.
func (f *staff) heads(letter string) []string {
	f.t.Helper()
	heads := []string{"Sec-Fetch-Site: same-origin"}
	switch letter {
	case "-":
	case "u":
		heads = append(heads, "Cookie: __Host-link="+f.link)
	default:
		f.asked++
		visit := people.Visit{From: fmt.Sprint("192.0.2.", f.asked%250)}
		secret, _, err := f.Door().SignIn(f.t.Context(), visit, "name-"+letter, "a password of "+letter)
		if err != nil {
			f.t.Fatal(err)
		}
		heads = append(heads, "Cookie: __Host-session="+secret)
	}
	return heads
}

// as has somebody ask.
func (f *staff) as(letter, method, path, body string, more ...string) got {
	f.t.Helper()
	return f.do(ask{method: method, path: path, body: body, heads: append(more, f.heads(letter)...)})
}

// Each row of the table is asked by nobody and by each role; who may not is told so, and a customer that there is nothing.
// ASVS 8.2.1, 8.2.2, 8.3.1.
func TestEveryRouteAsksForItsRight(t *testing.T) {
	s := serve(t)
	job := s.job("Garage", `{}`).ID
	f := staffOf(s, job)
	refusals := map[string]struct {
		status int
		code   string
	}{"-": {http.StatusUnauthorized, "sign in"}, "o": {http.StatusNotFound, "unknown"}, "e": {http.StatusForbidden, "right"},
		"c": {http.StatusForbidden, "right"}, "u": {http.StatusNotFound, "unknown"}}
	for _, row := range s.Table() {
		name := row.Method + " " + row.Pattern
		may, told := mayAsk[name]
		if !told {
			t.Errorf("%s: the test does not say who may ask for it", name)
			continue
		}
		q := asksOf[name]
		path := strings.ReplaceAll(q.path, "JOB", job)
		for letter, no := range refusals {
			g := f.as(letter, row.Method, path, q.body)
			var x struct{ Code, Place string }
			switch {
			case strings.Contains(may, letter):
				_ = json.Unmarshal(g.body, &x) // what is no refusal is none
				if x.Place == path && (x.Code == "sign in" || x.Code == "right") || g.status == http.StatusSeeOther {
					t.Errorf("%s as %q: %d %.200s", name, letter, g.status, g.body)
				}
			case letter == "-" && !strings.HasPrefix(path, "/api/"):
				if g.status != http.StatusSeeOther || g.head.Get("Location") != "/sign-in" {
					t.Errorf("%s as nobody: %d, to %q", name, g.status, g.head.Get("Location"))
				}
			case may == "u" && letter != "-" && letter != "u":
				s.refusedAs(g, http.StatusUnauthorized, "sign in") // with whatever session, no link was opened
			default:
				s.refusedAs(g, no.status, no.code)
			}
		}
	}
	for name := range mayAsk {
		if _, there := asksOf[name]; !there {
			t.Errorf("%s is no route", name)
		}
	}
}

// A file and a sheet of the office stand among the deeds by name; the job of a day is the day's, and a crew is no job.
func TestDeedsNameWhatWasChanged(t *testing.T) {
	s := serve(t)
	job := s.job("Shed", `{}`).ID
	f := staffOf(s, job)
	for _, q := range []ask{{method: "PUT", path: "/api/jobs/" + job + "/files/north%20side.json", body: "{}"},
		{method: "PUT", path: "/api/jobs/" + job + "/files/second.json", body: "[]"},
		{method: "PUT", path: "/api/office/crews/" + id(7), body: `{"based_on":0,"sheet":{"name":"North","people":[],"mark":"N","note":"","away":false}}`},
		{method: "PUT", path: "/api/office/days/" + id(8), body: `{"based_on":0,"sheet":{"job":"` + job + `","crew":"","date":"2026-05-12","part":"whole","note":"","off":false}}`}} {
		if g := f.as("e", q.method, q.path, q.body); g.status >= 300 {
			t.Fatalf("%s: %d %s", q.path, g.status, g.body)
		}
	}
	var deeds struct{ Deeds []people.Deed }
	if g := f.as("o", "GET", "/api/deeds", ""); json.Unmarshal(g.body, &deeds) != nil {
		t.Fatalf("%d %s", g.status, g.body)
	}
	got := ""
	for _, d := range deeds.Deeds {
		if d.Kind == people.FileKept || d.Kind == people.OfficeChanged {
			got += fmt.Sprintf("%s, %s, %v; ", d.Kind, d.About, d.Job == job)
		}
	}
	want := "office changed, Write on the office's sheet of a day: 2026-05-12, true; office changed, Write on the office's sheet of a crew: North, false; " +
		"file kept, second.json, true; file kept, north side.json, true; "
	if got != want {
		t.Errorf("the deeds are %s\nwant %s", got, want)
	}
}

// What is done bears the name of who is signed in, whatever the question says, and stands among the deeds.
func TestNobodySignsForAnother(t *testing.T) {
	s := serve(t)
	job := s.job("Shed", `{}`).ID
	f := staffOf(s, job)
	var b begun
	if g := f.as("e", "POST", "/api/jobs", `{"title":"Garage","who":"Bo","state":{"id":"s1","document":{"roof":{}}}}`); json.Unmarshal(g.body, &b) != nil || g.status != 201 {
		t.Fatalf("%d %s", g.status, g.body)
	}
	at := "/api/jobs/" + b.ID
	for path, body := range map[string]string{"/restore": `{"seq":1,"id":"s3","who":"Bo"}`, "/copy": `{"title":"x","who":"Bo"}`} {
		if g := f.as("e", "POST", at+path, body); g.status != 201 {
			t.Fatalf("%s: %d %s", path, g.status, g.body)
		}
	}
	var list struct{ States []struct{ Who string } }
	if g := f.as("c", "GET", at+"/states", ""); json.Unmarshal(g.body, &list) != nil || len(list.States) != 2 {
		t.Fatalf("%d %s", g.status, g.body)
	}
	for i, x := range list.States {
		if x.Who != "Name e" {
			t.Errorf("state %d is by %q", i, x.Who)
		}
	}
	var deeds struct{ Deeds []people.Deed }
	if g := f.as("o", "GET", "/api/deeds", ""); json.Unmarshal(g.body, &deeds) != nil {
		t.Fatalf("%d %s", g.status, g.body)
	}
	changed := 0
	for _, d := range deeds.Deeds {
		if d.Kind == people.JobChanged {
			changed++
			if d.ByName != "Name e" || d.By != f.ids["e"] || d.From != "127.0.0.1" || d.About == "" || d.Job != b.ID && d.About != "Begin a job" {
				t.Errorf("a job was changed by %+v", d)
			}
		}
	}
	if changed != 2 { // begun; and restored and copied within ten minutes
		t.Errorf("it is kept %d times that jobs were changed, want 2", changed)
	}
}
