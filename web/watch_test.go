package web_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"gelwright/store"
	"gelwright/web"
)

// shared is a log that a server writes and a test reads.
type shared struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *shared) Write(b []byte) (int, error) { s.mu.Lock(); defer s.mu.Unlock(); return s.b.Write(b) }

// lines are what was logged, a map each.
func (s *shared) lines(t *testing.T) []map[string]any {
	t.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []map[string]any
	for line := range strings.Lines(s.b.String()) {
		var m map[string]any
		if err := json.Unmarshal([]byte(line), &m); err != nil {
			t.Fatalf("a line of the log is no JSON: %v in %s", err, line)
		}
		out = append(out, m)
	}
	return out
}

// logged is a server whose log is read; answered waits for the line of the answer with an id, which is written after it.
func logged(t *testing.T, set func(*web.Server)) (*served, *shared, func(id string) map[string]any) {
	t.Helper()
	log := &shared{}
	s := serveAs(t, func(s *web.Server) {
		s.Log = slog.New(slog.NewJSONHandler(log, nil))
		if set != nil {
			set(s)
		}
	})
	return s, log, func(id string) map[string]any {
		t.Helper()
		for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(time.Millisecond) {
			for _, l := range log.lines(t) {
				if l["msg"] == "answered" && l["id"] == id {
					return l
				}
			}
		}
		t.Fatalf("no line says that %q was answered", id)
		return nil
	}
}

// ASVS 5.0 16.2.1 (when, where, who, what), 16.2.4 (one form): each answer has its line, named by the id that the answer bears.
func TestEachAnswerIsLogged(t *testing.T) {
	var seen []string
	var mu sync.Mutex
	s, _, answered := logged(t, func(s *web.Server) {
		s.Watch = func(route, method string, status int, took time.Duration) {
			mu.Lock()
			defer mu.Unlock()
			seen = append(seen, method+" "+route)
		}
	})
	job := s.job("Garage", `{}`).ID
	for _, x := range []struct {
		method, path, route string
		status              float64
	}{
		{"GET", "/api/jobs/" + job, "/api/jobs/{id}", 200}, {"GET", "/api/jobs/" + job + "/states/9", "/api/jobs/{id}/states/{seq}", 404},
		{"GET", "/nothing", "/{name...}", 404}, {"DELETE", "/api/jobs", "", 405}, {"BREW", "/api/jobs", "", 405},
	} {
		g := s.do(ask{method: x.method, path: x.path})
		id := g.head.Get("Request-Id")
		l := answered(id)
		method := x.method
		if method == "BREW" {
			method = "other"
		}
		if !regexp.MustCompile(`^[0-9a-f]{16}$`).MatchString(id) || l["route"] != x.route || l["method"] != method || l["status"] != x.status ||
			l["from"] != "127.0.0.1" || l["bytes"].(float64) != float64(len(g.body)) || l["time"] == "" || l["ms"] == nil {
			t.Errorf("%s %s, %q: %v", x.method, x.path, id, l)
		}
	}
	mu.Lock()
	defer mu.Unlock()
	if len(seen) != 6 || seen[1] != "GET /api/jobs/{id}" {
		t.Errorf("the watcher saw %q", seen)
	}
}

// ASVS 5.0 16.2.5, 14.2.1, 16.4.1: whatever is asked, of paths, queries, heads, bodies and cookies nothing is logged.
func TestNoSecretIsLogged(t *testing.T) {
	const secret = "s3cr3t-hunter2"
	s, log, answered := logged(t, nil)
	id := s.job(secret, `{"name":"`+secret+`"}`).ID
	var last string
	for _, a := range []ask{
		{method: "GET", path: "/" + secret}, {method: "GET", path: "/api/jobs/" + secret}, {method: "GET", path: "/api/jobs?find=" + secret},
		{method: "POST", path: "/api/jobs", body: `{"password":"` + secret + `"}`}, {method: "POST", path: "/api/jobs", body: secret},
		{method: "GET", path: "/api/version", heads: []string{"Authorization: Bearer " + secret, "Cookie: __Host-session=" + secret, "Referer: http://x/" + secret}},
		{method: "GET", path: "/api/version", heads: []string{"Host: " + secret}}, {method: "GET", path: "/api/version", heads: []string{"Origin: http://" + secret}},
		{method: "PUT", path: "/api/jobs/" + id + "/files/" + secret + ".jpg", body: secret, heads: []string{"Content-Type: image/jpeg"}},
		{method: "GET", path: "/api/jobs/" + id + "/files/" + secret + "%0a%7b%22msg%22:1%7d"}, {method: strings.ToUpper(secret), path: "/"},
	} {
		last = s.do(a).head.Get("Request-Id")
	}
	answered(last)
	log.mu.Lock()
	defer log.mu.Unlock()
	if text := strings.ToLower(log.b.String()); strings.Contains(text, secret) || strings.Count(text, "answered") < 12 {
		t.Errorf("the log holds what was asked, or too little: %s", text)
	}
}

// broken is a store that fails as a disk does.
type broken struct{ store.Store }

func (broken) List(context.Context, store.Ask) (store.Page, error) {
	return store.Page{}, &store.Error{Kind: store.Failed, Place: "/srv/roofs", Found: "the disk did not do it", Cause: errors.New("input/output error")}
}

func (broken) Get(context.Context, store.ID) (store.Job, error) { panic("of the test") }

// ASVS 5.0 16.5.1, 16.5.4: on a network a stranger is told an id, the log the rest; on this computer its owner is told all.
func TestAFaultIsToldToTheLog(t *testing.T) {
	for _, network := range []bool{false, true} {
		log := &shared{}
		set := func(s *web.Server) { s.Log, s.Jobs = slog.New(slog.NewJSONHandler(log, nil)), broken{s.Jobs} }
		s := serveAs
		var on *served
		if network {
			on = encrypted(t, set)
		} else {
			on = s(t, set)
		}
		g := on.do(ask{method: "GET", path: "/api/jobs"})
		told := on.refusedAs(g, http.StatusInternalServerError, "failed")
		if id := g.head.Get("Request-Id"); strings.Contains(string(g.body), "/srv/roofs") == network || strings.Contains(told.Remedy, id) != network {
			t.Errorf("network %v: %s", network, g.body)
		}
		g = on.do(ask{method: "GET", path: "/api/jobs/00000000000000000000000000000000"})
		if g.status != http.StatusInternalServerError || strings.Contains(string(g.body), "of the test") || strings.Contains(string(g.body), "goroutine") {
			t.Errorf("network %v, a handler that breaks down: %d %s", network, g.status, g.body)
		}
		on.refusedAs(on.do(ask{method: "GET", path: "/healthz"}), http.StatusServiceUnavailable, "store")
		var text string
		for _, l := range log.lines(t) {
			if l["level"] == "ERROR" {
				text += l["msg"].(string) + " " + l["route"].(string) + "\n"
			}
		}
		if text != "no answer /api/jobs\na handler broke down /api/jobs/{id}\nthe store does not answer /healthz\nno answer /healthz\n" {
			t.Errorf("network %v: the log says %q", network, text)
		}
	}
}

// Anyone may ask whether the server can do its work, and is told nothing else.
func TestHealth(t *testing.T) {
	s := encrypted(t, func(s *web.Server) { s.Accounts = true })
	if g := s.get("/healthz", nil); strings.TrimSpace(string(g.body)) != `{"ok":true}` {
		t.Errorf("%s", g.body)
	}
}
