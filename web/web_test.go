package web_test

import (
	"bytes"
	"context"
	"crypto/tls"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/goccy/go-yaml"

	"gelwright/people"
	"gelwright/store/sqlite"
	"gelwright/web"
	"gelwright/work"
)

// served is the real server on a random port of this computer.
type served struct {
	t   *testing.T
	url string
	*web.Server
	// trust is what its certificate is held against, where it speaks HTTPS.
	trust *tls.Config
}

func serve(t *testing.T) *served { return serveAs(t, nil) }

// serveAs is the server with fields of its own, which set sets before it answers.
func serveAs(t *testing.T, set func(*web.Server)) *served {
	t.Helper()
	jobs, err := sqlite.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := jobs.Close(); err != nil {
			t.Error(err)
		}
	})
	// A clock that goes on by a second whenever somebody looks at it.
	var looks atomic.Int64
	clock := func() time.Time { return time.Date(2026, 5, 12, 9, 0, int(looks.Add(1)), 0, time.UTC) }
	behind, err := work.Open(t.Context(), jobs.DB, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { behind.Close() })
	s, err := web.New(web.Server{Version: "of the test", Jobs: jobs, Work: behind, People: jobs, PasswordCost: cheap, Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	if set != nil {
		set(s)
	}
	ctx, stop := context.WithCancel(t.Context())
	on, err := s.Listen(ctx, "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx, on) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Errorf("the server's end: %v", err)
		}
	})
	scheme := "http://"
	if s.Network != nil {
		scheme = "https://"
	}
	return &served{t, scheme + on.Addr().String(), s, nil}
}

// cheap is a cost of passwords that tests can pay often.
var cheap = people.Cost{MemoryKiB: 64, Passes: 1, Lanes: 1}

// ask is a request, with a head as "Name: value" lines.
type ask struct {
	method, path, body string
	heads              []string
}

// got is what came back.
type got struct {
	status int
	head   http.Header
	body   []byte
}

// told is what the program says of a refusal.
type told struct {
	Title, Code, Place, Detail, Remedy string
	Status                             int
	Faults                             []struct{ Code, Where, Message, Remedy string }
	Newest                             *struct {
		Seq             int
		Who, When, What string
	}
}

func (s *served) do(a ask) got {
	s.t.Helper()
	r, err := http.NewRequestWithContext(s.t.Context(), a.method, s.url+a.path, strings.NewReader(a.body))
	if err != nil {
		s.t.Fatal(err)
	}
	if a.body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, h := range a.heads {
		name, value, _ := strings.Cut(h, ": ")
		if name == "Host" {
			r.Host = value
		}
		r.Header.Set(name, value)
	}
	// No redirect is followed and nothing unpacked: what is sent is looked at.
	c := &http.Client{Transport: &http.Transport{DisableCompression: true, DisableKeepAlives: true, TLSClientConfig: s.trust},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	w, err := c.Do(r)
	if err != nil {
		s.t.Fatal(err)
	}
	defer w.Body.Close()
	body, err := io.ReadAll(w.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	g := got{w.StatusCode, w.Header, body}
	d, err := description()
	if err != nil {
		s.t.Fatal(err)
	}
	d.hold(s.t, a, r.Header, g)
	return g
}

// get asks for a path that must be there.
func (s *served) get(path string, into any) got {
	s.t.Helper()
	g := s.do(ask{method: "GET", path: path})
	if g.status != http.StatusOK {
		s.t.Fatalf("GET %s: %d %s", path, g.status, g.body)
	}
	if into != nil {
		if err := json.Unmarshal(g.body, into); err != nil {
			s.t.Fatalf("GET %s: %v in %s", path, err, g.body)
		}
	}
	return g
}

// post sends a question that must be done, 201 where something begins.
func (s *served) post(path string, body, into any) got {
	s.t.Helper()
	g := s.do(ask{method: "POST", path: path, body: jsonOf(s.t, body)})
	if g.status != http.StatusCreated && g.status != http.StatusOK {
		s.t.Fatalf("POST %s: %d %s", path, g.status, g.body)
	}
	if into != nil {
		if err := json.Unmarshal(g.body, into); err != nil {
			s.t.Fatalf("POST %s: %v in %s", path, err, g.body)
		}
	}
	return g
}

func jsonOf(t *testing.T, v any) string {
	t.Helper()
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// with is a row of fields.
type with = map[string]any

// begun is a job that was made.
type begun struct {
	ID  string
	Seq int
}

// job begins a job whose document holds a roof, given as JSON.
func (s *served) job(title, roof string) begun {
	s.t.Helper()
	var b begun
	s.post("/api/jobs", with{"title": title, "who": "Asha", "state": with{"id": "s1", "what": "drawn", "document": json.RawMessage(`{"roof":` + roof + `}`)}}, &b)
	return b
}

// example is an example roof as JSON.
func example(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile("../examples/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := yaml.YAMLToJSON(text)
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(string(raw))
}

// refusedAs holds an answer to a status and a code, and to saying what to do.
func (s *served) refusedAs(g got, status int, code string) told {
	s.t.Helper()
	var x told
	if err := json.Unmarshal(g.body, &x); err != nil || g.status != status || x.Status != status || x.Code != code || x.Detail == "" ||
		x.Remedy == "" || g.head.Get("Content-Type") != "application/problem+json" {
		s.t.Errorf("got %d %s (%v), want %d and code %q with detail and remedy", g.status, g.body, err, status, code)
	}
	return x
}
