package web

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/andybalholm/brotli"
)

// builtPage is a page and an engine of the test's own.
func builtPage(t *testing.T, engine bool) *Server {
	t.Helper()
	page := fstest.MapFS{
		"static/index.html": {Data: []byte(`<link href="/app.css"><script src="/app.js"></script><a href="/elsewhere">`)},
		"static/app.js":     {Data: []byte("let a")}, "static/app.css": {Data: []byte("a{}")}, "static/secret.key": {Data: []byte("no")},
		"static/engine.js": {Data: []byte("use(go)")}}
	built := fstest.MapFS{"engine/README.md": {Data: []byte("words")}}
	if engine {
		var b bytes.Buffer
		w := brotli.NewWriter(&b)
		w.Write(bytes.Repeat([]byte("\x00asm"), 1000))
		w.Close()
		built["engine/desk.wasm.br"], built["engine/wasm_exec.js"] = &fstest.MapFile{Data: b.Bytes()}, &fstest.MapFile{Data: []byte("let go")}
	}
	s, err := New(Server{})
	if err != nil {
		t.Fatal(err)
	}
	if s.files, err = readFiles(page, built); err != nil {
		t.Fatal(err)
	}
	return s
}

func asking(s *Server, path string, heads ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("GET", "http://127.0.0.1"+path, nil)
	for _, h := range heads {
		name, value, _ := strings.Cut(h, ": ")
		r.Header.Set(name, value)
	}
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	return w
}

func TestThePageIsKeptByItsVersion(t *testing.T) {
	s := builtPage(t, true)
	index := asking(s, "/")
	want := `<link href="/v/` + s.files.version + `/app.css"><script src="/v/` + s.files.version + `/app.js"></script><a href="/elsewhere">`
	if index.Body.String() != want || index.Header().Get("Cache-Control") != "no-cache" || index.Header().Get("Content-Type") != "text/html; charset=utf-8" {
		t.Errorf("the first file is %q with %v", index.Body, index.Header())
	}
	app := asking(s, "/v/"+s.files.version+"/app.js")
	if app.Code != http.StatusOK || app.Body.String() != "let a" || !strings.Contains(app.Header().Get("Cache-Control"), "immutable") {
		t.Errorf("app.js under its version: %d %q %v", app.Code, app.Body, app.Header())
	}
	if w := asking(s, "/v/0123/app.js"); w.Code != http.StatusNotFound || strings.Contains(w.Header().Get("Cache-Control"), "immutable") {
		t.Errorf("another version: %d %v", w.Code, w.Header())
	}
	for _, tag := range []string{app.Header().Get("ETag"), `"x", ` + app.Header().Get("ETag")} {
		if w := asking(s, "/app.js", "If-None-Match: "+tag); w.Code != http.StatusNotModified || w.Body.Len() > 0 {
			t.Errorf("If-None-Match %s: %d %q", tag, w.Code, w.Body)
		}
	}
	if w := asking(s, "/app.js", `If-None-Match: "x"`); w.Code != http.StatusOK {
		t.Errorf("another tag: %d", w.Code)
	}
	for _, path := range []string{"/secret.key", "/README.md", "/static/app.js", "/..%2fstatic.go", "/%2e%2e/static.go", "/v/" + s.files.version + "/..%2fapp.js"} {
		if w := asking(s, path); w.Code != http.StatusNotFound && w.Code/100 != 3 {
			t.Errorf("%s: %d %q", path, w.Code, w.Body)
		}
	}
}

func TestTheEngineIsPackedForWhoUnpacksIt(t *testing.T) {
	s := builtPage(t, true)
	if w := asking(s, "/engine.js"); w.Body.String() != "let go\nuse(go)" {
		t.Errorf("the worker is %q", w.Body)
	}
	plain := bytes.Repeat([]byte("\x00asm"), 1000)
	packed := asking(s, "/desk.wasm", "Accept-Encoding: gzip, deflate, br;q=0.5")
	if got := packed.Header(); got.Get("Content-Encoding") != "br" || got.Get("Content-Type") != "application/wasm" || got.Get("Vary") != "Accept-Encoding" {
		t.Errorf("packed: %v", got)
	}
	if packed.Body.Len() > 200 {
		t.Errorf("packed: %d bytes", packed.Body.Len())
	}
	for _, accepts := range []string{"", "gzip", "br;q=0", "brotli"} {
		w := asking(s, "/desk.wasm", "Accept-Encoding: "+accepts)
		if !bytes.Equal(w.Body.Bytes(), plain) || w.Header().Get("Content-Encoding") != "" || w.Header().Get("ETag") == packed.Header().Get("ETag") {
			t.Errorf("Accept-Encoding %q: %d bytes, %v", accepts, w.Body.Len(), w.Header())
		}
	}
}

func TestAProgramWithoutEngineSaysSo(t *testing.T) {
	s := builtPage(t, false)
	for _, path := range []string{"/desk.wasm", "/wasm_exec.js"} {
		if w := asking(s, path); w.Code != http.StatusNotFound || !strings.Contains(w.Body.String(), "bash scripts/build.sh") {
			t.Errorf("%s: %d %s", path, w.Code, w.Body)
		}
	}
	if w := asking(s, "/api/version"); !strings.Contains(w.Body.String(), `"engine":false`) {
		t.Errorf("version: %s", w.Body)
	}
}

// The page as it is built asks for the engine before its scripts run, under the very address that its script fetches: once.
func TestTheEngineIsAskedForWithThePage(t *testing.T) {
	s := builtPage(t, true)
	built := s.files
	var err error
	engine := fstest.MapFS{"engine/desk.wasm.br": {Data: built.of[engineName].packed}, "engine/wasm_exec.js": {Data: []byte("let go")}}
	if s.files, err = readFiles(pageFolder, engine); err != nil {
		t.Fatal(err)
	}
	index := asking(s, "/").Body.String()
	if want := `<link rel="preload" as="fetch" crossorigin href="/v/` + s.files.version + `/desk.wasm">`; !strings.Contains(index, want) {
		t.Errorf("the first file does not ask for the engine by %s:\n%s", want, index)
	}
	if script := asking(s, "/v/"+s.files.version+"/app.js").Body.String(); !strings.Contains(script, `"desk.wasm"`) {
		t.Error("the page's script fetches no desk.wasm beside it")
	}
}
