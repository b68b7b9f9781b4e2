package web_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
)

type joined struct {
	Seq, Open   int
	Kept        bool
	Document    json.RawMessage
	Differences []struct {
		Key, Where, Field, Taken string
		Clash, Chosen            bool
		Mine, Theirs             any
	}
}

// Two people on one job: who comes second is refused and told what differs; what they changed apart is joined, what both changed is
// chosen, and nothing of either is lost.
func TestTwoOnOneJobAreJoined(t *testing.T) {
	s := serve(t)
	roof := `{"name":"Garage","deck":{"outline":[[0,0],[5,0],[5,3],[0,3]],"edges":["drip","verge","wall","verge"],"fall":{"towards":[0,-1],"ratio":80}}}`
	path := "/api/jobs/" + s.job("Garage", roof).ID
	theirs := strings.Replace(roof, `"wall"`, `"upstand"`, 1)
	mine := strings.Replace(strings.Replace(roof, `"drip"`, `"gutter"`, 1), "80", "60", 1)
	first := s.get(path, nil)
	if first.head.Get("ETag") != `"1"` {
		t.Fatalf("the job is named %q", first.head.Get("ETag"))
	}
	save := func(id, roof, tag string) got {
		return s.do(ask{method: "POST", path: path + "/states", body: `{"id":"` + id + `","who":"Ben","document":{"roof":` + roof + `}}`,
			heads: []string{"If-Match: " + tag}})
	}
	if g := save("t", theirs, `"1"`); g.status != http.StatusCreated || g.head.Get("ETag") != `"2"` {
		t.Fatalf("the first: %d %s %v", g.status, g.body, g.head)
	}
	late := save("m", mine, `"1"`)
	told := s.refusedAs(late, http.StatusPreconditionFailed, "conflict")
	var differ joined
	if err := json.Unmarshal(late.body, &differ); err != nil || told.Newest == nil || told.Newest.Seq != 2 || len(differ.Differences) != 3 {
		t.Fatalf("told of %+v and %+v (%v)", told.Newest, differ.Differences, err)
	}
	var both joined
	g := s.post(path+"/join", with{"based_on": 1, "id": "j", "who": "Ben", "document": json.RawMessage(`{"roof":` + mine + `}`)}, &both)
	if g.status != http.StatusCreated || !both.Kept || both.Seq != 3 || both.Open != 0 || g.head.Get("ETag") != `"3"` {
		t.Fatalf("joined: %d %+v %v", g.status, both, g.head)
	}
	var now struct {
		Document struct{ Roof json.RawMessage }
	}
	s.get(path, &now)
	for _, part := range []string{`"gutter"`, `"upstand"`, `"ratio":60`, `"Garage"`} {
		if !strings.Contains(string(now.Document.Roof), part) {
			t.Errorf("the joined roof has no %s: %s", part, now.Document.Roof)
		}
	}
	// A clash is kept only when it is chosen.
	other := strings.Replace(roof, `"ratio":80`, `"ratio":40`, 1)
	q := with{"based_on": 1, "id": "k", "who": "Ben", "document": json.RawMessage(`{"roof":` + other + `}`)}
	if g := s.post(path+"/join", q, &both); g.status != http.StatusOK || both.Kept || both.Open != 1 || both.Seq != 3 {
		t.Fatalf("with a clash: %d %+v", g.status, both)
	}
	key := ""
	for _, d := range both.Differences {
		if d.Clash {
			key = d.Key
		}
	}
	q["choices"] = with{key: "theirs"}
	if g := s.post(path+"/join", q, &both); g.status != http.StatusCreated || !both.Kept || both.Seq != 4 {
		t.Fatalf("chosen: %d %+v", g.status, both)
	}
	if s.get(path, &now); !strings.Contains(string(now.Document.Roof), `"ratio":60`) {
		t.Errorf("theirs was chosen: %s", now.Document.Roof)
	}
	q["choices"] = with{key: "nobody's"}
	s.refusedAs(s.do(ask{method: "POST", path: path + "/join", body: jsonOf(t, q)}), http.StatusBadRequest, "body")
	s.refusedAs(s.do(ask{method: "POST", path: path + "/join", body: `{"based_on":9,"document":{"roof":{}}}`}), http.StatusNotFound, "unknown")
}

func TestChangesOnCondition(t *testing.T) {
	s := serve(t)
	path := "/api/jobs/" + s.job("Garage", `{"n":1}`).ID
	do := func(method, path, body string, heads ...string) got {
		return s.do(ask{method: method, path: path, body: body, heads: heads})
	}
	state := func(id string) string { return `{"id":"` + id + `","who":"Ben","document":{"roof":{"n":2}}}` }
	s.refusedAs(do("POST", path+"/states", state("a")), http.StatusPreconditionRequired, "based_on")
	for _, tag := range []string{`"x"`, `"0"`, `"-1"`, `"1", "2"`} {
		s.refusedAs(do("POST", path+"/states", state("a"), "If-Match: "+tag), http.StatusBadRequest, "header")
	}
	s.refusedAs(do("POST", path+"/states", `{"based_on":2,"id":"a","who":"Ben","document":{"roof":{}}}`, `If-Match: "1"`), http.StatusBadRequest, "header")
	if g := do("POST", path+"/states", state("a"), `If-Match: W/"1"`); g.status != http.StatusCreated {
		t.Fatalf("%d %s", g.status, g.body)
	}
	s.refusedAs(do("POST", path+"/states", `{"based_on":1,"id":"b","who":"Ben","document":{"roof":{}}}`), http.StatusConflict, "conflict")
	s.refusedAs(do("POST", path+"/restore", `{"seq":1,"id":"c","who":"Ben"}`, `If-Match: "1"`), http.StatusPreconditionFailed, "conflict")
	s.refusedAs(do("POST", path+"/retire", `{}`, `If-Match: "1"`), http.StatusPreconditionFailed, "conflict")
	if g := do("POST", path+"/retire", `{}`, `If-Match: "2"`); g.status != http.StatusOK {
		t.Fatalf("%d %s", g.status, g.body)
	}
	if tag := s.get(path, nil).head.Get("ETag"); tag != `"2-retired"` {
		t.Errorf("a retired job is named %s", tag)
	}
	if g := do("POST", path+"/restore", `{"seq":1,"id":"c","who":"Ben"}`, `If-Match: "2-retired"`); g.status != http.StatusCreated || g.head.Get("ETag") != `"3"` {
		t.Fatalf("%d %s", g.status, g.body)
	}
	// What the asker has is not sent again.
	do("PUT", path+"/files/x.txt", "text", "Content-Type: text/plain")
	for _, at := range []string{path, path + "/states/1", path + "/files/x.txt", path + "/roof.yaml", "/api/openapi.json", "/api/examples/r01-garage"} {
		whole := s.get(at, nil)
		tag := whole.head.Get("ETag")
		if g := do("GET", at, "", "If-None-Match: "+tag); g.status != http.StatusNotModified || len(g.body) > 0 || g.head.Get("ETag") != tag || tag == "" {
			t.Errorf("%s with its tag %s: %d %.80s", at, tag, g.status, g.body)
		}
		if g := do("GET", at, "", `If-None-Match: "other", W/`+tag); g.status != http.StatusNotModified {
			t.Errorf("%s with a list of tags: %d", at, g.status)
		}
		if g := do("GET", at, "", `If-None-Match: "other"`); g.status != http.StatusOK || string(g.body) != string(whole.body) {
			t.Errorf("%s with another tag: %d", at, g.status)
		}
	}
}

// A question with a key is done once, however often it is sent; another question with it is refused.
func TestKeysMakeItOnce(t *testing.T) {
	s := serve(t)
	keyed := func(path, key, body string) got {
		return s.do(ask{method: "POST", path: path, body: body, heads: []string{"Idempotency-Key: " + key}})
	}
	job := func(key, name string) got {
		return keyed("/api/jobs", key, `{"who":"Asha","state":{"document":{"roof":{"name":"`+name+`"}}}}`)
	}
	first := job("one", "Garage")
	var a begun
	if err := json.Unmarshal(first.body, &a); err != nil || first.status != http.StatusCreated {
		t.Fatalf("%d %s", first.status, first.body)
	}
	path := "/api/jobs/" + a.ID
	change := `{"based_on":1,"who":"Asha","document":{"roof":{"name":"Barn"}}}`
	for _, x := range []struct{ path, body, other string }{
		{path + "/states", change, strings.Replace(change, "Barn", "Shed", 1)},
		{path + "/copy", `{"title":"Copy","who":"Asha"}`, `{"title":"Other","who":"Asha"}`},
		{path + "/restore", `{"seq":1,"based_on":2,"who":"Asha"}`, `{"seq":2,"based_on":2,"who":"Asha"}`},
		{path + "/join", `{"based_on":1,"who":"Asha","document":{"roof":{"name":"Garage","x":1}}}`, `{"based_on":1,"who":"Asha","document":{"roof":{"x":3}}}`},
	} {
		key := "for " + x.path
		once := keyed(x.path, key, x.body)
		if once.status != http.StatusCreated {
			t.Fatalf("%s: %d %s", x.path, once.status, once.body)
		}
		if x.path == path+"/join" {
			continue // what it answers tells what differed, which is less the second time
		}
		if again := keyed(x.path, key, x.body); again.status != once.status || string(again.body) != string(once.body) {
			t.Errorf("%s again: %d %s, first %d %s", x.path, again.status, again.body, once.status, once.body)
		}
		s.refusedAs(keyed(x.path, key, x.other), http.StatusConflict, "clash")
	}
	if again := job("one", "Garage"); again.status != first.status || string(again.body) != string(first.body) {
		t.Errorf("begun again: %d %s, first %s", again.status, again.body, first.body)
	}
	s.refusedAs(job("one", "Other"), http.StatusConflict, "clash")
	job("two", "Garage")
	var all listed
	if s.get("/api/jobs", &all); all.Total != 3 {
		t.Errorf("%d jobs, want the garage, its copy and the one with another key", all.Total)
	}
	var h struct{ Total int }
	if s.get(path+"/states", &h); h.Total != 4 {
		t.Errorf("%d states, want 4", h.Total)
	}
	s.refusedAs(keyed(path+"/states", strings.Repeat("x", 201), change), http.StatusBadRequest, "header")
}

// Every list is asked and answered in one form.
func TestListsHaveOneForm(t *testing.T) {
	s := serve(t)
	path := "/api/jobs/" + s.job("Garage", `{}`).ID
	s.job("Barn", `{}`)
	s.post(path+"/copy", with{"title": "x", "alternative": true}, nil)
	s.post(path+"/states", stateOf("s2", 1, `{}`), nil)
	for _, name := range []string{"a", "b"} {
		s.do(ask{method: "PUT", path: path + "/files/" + name, body: "x", heads: []string{"Content-Type: text/plain"}})
	}
	for list, want := range map[string]int{"/api/jobs": 3, path + "/states": 2, path + "/files": 2, path + "/alternatives": 2, "/api/examples": 12} {
		var one, all struct {
			Total int
			More  *bool
		}
		s.get(list+"?size=1", &one)
		s.get(list, &all)
		if one.Total != want || all.Total != want || one.More == nil || !*one.More || all.More == nil || *all.More {
			t.Errorf("%s: %d of %d, more %v; whole %v", list, one.Total, want, one.More, all.More)
		}
		for _, q := range []string{"?size=0", "?size=1001", "?size=x", "?size=1&size=2"} {
			s.refusedAs(s.do(ask{method: "GET", path: list + q}), http.StatusBadRequest, "query")
		}
	}
}
