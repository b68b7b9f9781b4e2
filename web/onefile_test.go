package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"io"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/andybalholm/brotli"
)

// A one-file job has all of it inside, runs nothing but its own scripts, and asks nobody.
func TestAJobInOneFileIsWhole(t *testing.T) {
	var wasm bytes.Buffer
	w := brotli.NewWriter(&wasm)
	if _, err := w.Write([]byte("\x00asm engine")); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	page := fstest.MapFS{
		"static/app.js":     {Data: []byte(`say("</script>")`)},
		"static/app.css":    {Data: []byte(`@font-face{src:url("./face.woff2")}`)},
		"static/engine.js":  {Data: []byte("work()")},
		"static/face.woff2": {Data: []byte("face")},
	}
	built := fstest.MapFS{"engine/desk.wasm.br": {Data: wasm.Bytes()}, "engine/wasm_exec.js": {Data: []byte("let go")}}
	a, err := readFiles(page, built)
	if err != nil {
		t.Fatal(err)
	}
	held := alone{Title: "A & B <roof>", Document: json.RawMessage(`{"roof":{"name":"</script><b>"}}`), Forecast: "time,air",
		Papers: []alonePaper{{"site.html", "Site book", "<p>paper</p>"}}}
	raw, err := a.alone(&held)
	if err != nil {
		t.Fatal(err)
	}
	text := string(raw)
	if n := strings.Count(text, "</script>"); n != 4 {
		t.Errorf("%d scripts end, 4 begin", n)
	}
	inside := func(pattern string) string {
		t.Helper()
		m := regexp.MustCompile(pattern).FindStringSubmatch(text)
		if m == nil {
			t.Fatalf("there is no %s", pattern)
		}
		return m[1]
	}
	sum := sha256.Sum256([]byte(inside(`(?s)<script type="module">(.*?)</script>`)))
	if !strings.Contains(inside(`script-src '([^']+)'`), base64.StdEncoding.EncodeToString(sum[:])) {
		t.Error("the policy does not name the page's script")
	}
	sum = sha256.Sum256([]byte(inside(`(?s)<style>(.*?)</style>`)))
	if !strings.Contains(inside(`style-src '([^']+)'`), base64.StdEncoding.EncodeToString(sum[:])) {
		t.Error("the policy does not name the page's style")
	}
	if strings.Contains(text, "connect-src") || regexp.MustCompile(`(src|href)="`).MatchString(text) || strings.Contains(text, "face.woff2") {
		t.Error("the file asks for something outside it")
	}
	var back alone
	if err := json.Unmarshal([]byte(inside(`(?s)id="gelwright-job">(.*?)</script>`)), &back); err != nil || back.Title != held.Title ||
		back.Papers[0].HTML != held.Papers[0].HTML || !strings.Contains(string(back.Document), "u003c/script") {
		t.Errorf("the job inside is %+v (%v)", back, err)
	}
	packed, err := base64.StdEncoding.DecodeString(inside(`id="gelwright-engine">([^<]*)<`))
	if err != nil {
		t.Fatal(err)
	}
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	if engine, err := io.ReadAll(z); err != nil || string(engine) != "\x00asm engine" {
		t.Errorf("the engine inside is %q (%v)", engine, err)
	}
	if worker := inside(`(?s)id="gelwright-worker">(.*?)</script>`); worker != "let go\nwork()" {
		t.Errorf("the worker inside is %q", worker)
	}
}
