package web_test

import (
	"io/fs"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"gelwright/store"
	"gelwright/store/sqlite"
	"gelwright/web"
)

// ASVS 5.0 4.1.1 (every body says what it is, texts their letters), 3.4.2 (no other site may read), 13.4.4 (no TRACE): whatever is
// asked, by each way that there is.
func TestEveryBodySaysWhatItIs(t *testing.T) {
	s := serve(t)
	job := s.job("Garage", `{}`).ID
	for name, q := range asksOf {
		method, _, _ := strings.Cut(name, " ")
		for _, way := range []string{method, "TRACE", "OPTIONS"} {
			g := s.do(ask{method: way, path: strings.ReplaceAll(q.path, "JOB", job), body: q.body})
			for _, head := range []string{"Access-Control-Allow-Origin", "Access-Control-Allow-Credentials", "Server", "X-Powered-By"} {
				if v := g.head.Get(head); v != "" {
					t.Errorf("%s %s: %s is %q", way, q.path, head, v)
				}
			}
			if way != method && g.status < 400 {
				t.Errorf("%s %s is answered: %d", way, q.path, g.status)
			}
			media := g.head.Get("Content-Type")
			if len(g.body) > 0 && (media == "" || strings.HasPrefix(media, "text/") && !strings.HasSuffix(media, "charset=utf-8")) {
				t.Errorf("%s %s: a body of %q", way, q.path, media)
			}
			if strings.HasPrefix(media, "text/") && !utf8.Valid(g.body) {
				t.Errorf("%s %s: its letters are not UTF-8", way, q.path)
			}
		}
	}
}

// ASVS 5.0 1.2.1, 1.2.3, 5.4.2: names and texts that would be markup, script or heads of an answer stay text, wherever they come out.
func TestHostileTextStaysText(t *testing.T) {
	s := serve(t)
	const hostile = `</title></script><script>alert(1)</script><img src=x onerror=alert(1)>"';--`
	roof := strings.Replace(example(t, "r01-garage"), `"Garage at Lower Mill"`, `"`+strings.ReplaceAll(hostile, `"`, `\"`)+`"`, 1)
	if !strings.Contains(roof, "onerror") {
		t.Fatal("the roof bears another name")
	}
	at := "/api/jobs/" + s.job(hostile, roof).ID
	markup := regexp.MustCompile(`<script>alert|<img src=x|</title></script>`)
	seen := 0
	for _, path := range []string{at, at + "/states", at + "/roof.yaml", at + "/onefile.html", at + "/papers", at + "/papers/site.html", at + "/papers/drawings/01-plan.svg",
		at + "/export", "/api/jobs", "/api/jobs?find=" + url.QueryEscape(hostile), "/" + url.PathEscape(hostile), at + "/files/" + url.PathEscape(hostile)} {
		g := s.do(ask{method: "GET", path: path})
		media, _, _ := strings.Cut(g.head.Get("Content-Type"), ";")
		if g.status == http.StatusOK {
			seen++
		}
		if (media == "text/html" || media == "image/svg+xml") && markup.Match(g.body) {
			t.Errorf("%s holds markup that somebody typed", path)
		}
		if g.head.Get("X-Evil") != "" || strings.ContainsAny(g.head.Get("Content-Disposition"), "\r\n<>") {
			t.Errorf("%s: its head is %v", path, g.head)
		}
	}
	if seen < 8 {
		t.Errorf("only %d answers were looked at", seen)
	}
}

// ASVS 5.0 1.2.4: what is typed is never part of what a database is asked.
func TestNoDatabaseIsAskedWhatWasTyped(t *testing.T) {
	s := serve(t)
	s.job("Garage", `{}`)
	for _, typed := range []string{`' OR ''='`, `" OR ""="`, `%`, `_`, `x' UNION SELECT 1--`, `'); DROP TABLE job;--`, "\x00", `\`} {
		var list struct{ Total int }
		g := s.do(ask{method: "GET", path: "/api/jobs?find=" + url.QueryEscape(typed)})
		if g.status == http.StatusOK {
			s.get("/api/jobs?find="+url.QueryEscape(typed), &list)
		}
		if g.status >= 500 || list.Total != 0 {
			t.Errorf("%q finds %d jobs, %d %s", typed, list.Total, g.status, g.body)
		}
	}
	var list struct{ Total int }
	if s.get("/api/jobs", &list); list.Total != 1 {
		t.Errorf("%d jobs are left", list.Total)
	}
}

// ASVS 5.0 13.4.1, 13.4.3, 13.4.7: nothing is served but the page's own files: no sources, settings, lists of folders or keys.
func TestNothingButThePageIsServed(t *testing.T) {
	s := serve(t)
	for _, path := range []string{"/.git/HEAD", "/.git/", "/.env", "/go.mod", "/web/", "/static/", "/engine/", "/..%2fgo.mod", "/v/", "/gelwright.db", "/authority/authority.pem",
		"/debug/pprof/", "/metrics", "/static/index.html", "//etc/passwd", "/%2e%2e/%2e%2e/etc/passwd"} {
		if g := s.do(ask{method: "GET", path: path}); g.status < 300 || strings.Contains(string(g.body), "root:") || strings.Contains(string(g.body), "module gelwright") {
			t.Errorf("%s: %d %.80s", path, g.status, g.body)
		}
	}
}

// FuzzNamesOfFiles keeps a file under any name and reads it again: no name climbs out of the folder, or names a file of the program's
// own (ASVS 5.0 5.3.2).
func FuzzNamesOfFiles(f *testing.F) {
	for _, name := range []string{"roof.jpg", "../x", `..\x`, "a/b", "C:x", "a\x00b", ".", "..", "ü 1.csv", "con", "gelwright.db", strings.Repeat("a", 300), "%2e%2e%2fx", "\u202ex.csv", "x\r\ny"} {
		f.Add(name)
	}
	dir := f.TempDir()
	jobs, err := sqlite.Open(f.Context(), dir)
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { jobs.Close() })
	server, err := web.New(web.Server{Jobs: jobs})
	if err != nil {
		f.Fatal(err)
	}
	job, err := jobs.Create(f.Context(), store.NewJob{First: store.NewState{Title: "Garage", Document: []byte("{}"),
		Mark: store.Mark{ID: "s1", Who: "Asha", When: server.Now()}}})
	if err != nil {
		f.Fatal(err)
	}
	handler := server.Handler()
	ours := regexp.MustCompile(`^(\.|gelwright\.db(-wal|-shm)?|files|files/[0-9a-f]{2}|files/[0-9a-f]{2}/[0-9a-f]{64})$`)
	f.Fuzz(func(t *testing.T, name string) {
		for _, method := range []string{"PUT", "GET"} {
			w := &recorded{head: http.Header{}}
			r, err := http.NewRequestWithContext(t.Context(), method, "http://127.0.0.1/api/jobs/"+string(job.ID)+"/files/"+url.PathEscape(name), strings.NewReader("a,b"))
			if err != nil {
				return
			}
			if method == "PUT" {
				r.Header.Set("Content-Type", "application/octet-stream")
			} else {
				r.Body, r.ContentLength = http.NoBody, 0
			}
			handler.ServeHTTP(w, r)
			if w.status >= 500 {
				t.Errorf("%s %q: %d", method, name, w.status)
			}
			if strings.ContainsAny(w.head.Get("Content-Disposition"), "\r\n") {
				t.Errorf("%q breaks the answer's head: %q", name, w.head.Get("Content-Disposition"))
			}
		}
		err := filepath.WalkDir(dir, func(path string, _ fs.DirEntry, err error) error {
			if rel, bad := filepath.Rel(dir, path); err == nil && (bad != nil || !ours.MatchString(filepath.ToSlash(rel))) {
				t.Errorf("%q made %s", name, path)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	})
}

// recorded takes an answer.
type recorded struct {
	head   http.Header
	status int
}

func (r *recorded) Header() http.Header { return r.head }
func (r *recorded) WriteHeader(status int) {
	if r.status == 0 {
		r.status = status
	}
}
func (r *recorded) Write(b []byte) (int, error) { r.WriteHeader(http.StatusOK); return len(b), nil }
