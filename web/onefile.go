package web

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"net/http"
	"path"
	"regexp"
	"strings"

	"gelwright/document"
	"gelwright/work"
)

// alone is what a one-file job holds; the page reads it (page/session/alone.ts).
type alone struct {
	Title    string          `json:"title"`
	Document json.RawMessage `json:"document"`
	Forecast string          `json:"forecast"`
	Firm     string          `json:"firm"`
	Papers   []alonePaper    `json:"papers"`
}

// alonePaper is a paper as a page of its own.
type alonePaper struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	HTML  string `json:"html"`
}

// oneFile gives a job as one page: engine, drawings and papers inside, opened from a memory card or a mail, with no server and
// no network. Its policy allows its own scripts by their hashes and no connection at all.
func (s *Server) oneFile(ctx context.Context, q *FileOfState) (*fileAnswer, error) {
	b, err := s.basisOf(ctx, q.ID, q.Seq)
	if err != nil {
		return nil, err
	}
	if !s.files.engine {
		return nil, &problem{status: http.StatusServiceUnavailable, Code: "engine", Message: "the engine for browsers is not in this program",
			Remedy: "Build it with scripts/build.sh"}
	}
	state, err := s.Jobs.StateAt(ctx, b.Job, b.Seq)
	if err != nil {
		return nil, err
	}
	held := alone{Title: state.Title, Document: state.Document, Papers: []alonePaper{}}
	for _, f := range []struct {
		of *work.Named
		to *string
	}{{b.Sky, &held.Forecast}, {b.Firm, &held.Firm}} {
		if f.of != nil {
			*f.to = string(f.of.Text)
		}
	}
	files, err := s.papers(ctx, b)
	if err != nil && ctx.Err() != nil {
		return nil, err
	} // a roof that has no plan yet has no papers, and is a job all the same
	held.Papers = papersInside(files)
	page, err := s.files.alone(&held)
	if err != nil {
		return nil, err
	}
	return q.file(sent{name: b.folder + ".html", media: htmlMedia, keep: true, content: page}), nil
}

// insideTitles are the papers that are pages, as they are listed inside.
var insideTitles = map[string]string{"site.html": "Site book", "office.html": "Office book", "workings.html": "Workings"}

func papersInside(files []document.File) []alonePaper {
	out := []alonePaper{}
	for _, f := range files {
		if title := insideTitles[path.Base(f.Name)]; title != "" {
			out = append(out, alonePaper{f.Name, title, string(f.Content)})
		}
	}
	return out
}

// faceOf finds the face in the style.
var faceOf = regexp.MustCompile(`url\("?([^")]+\.woff2)"?\)`)

// alone writes the page with everything inside.
func (a *files) alone(held *alone) ([]byte, error) {
	parts := map[string]string{}
	for _, name := range []string{"app.js", "app.css", "engine.js", engineName} {
		f := a.of[name]
		if f == nil {
			return nil, fmt.Errorf("the page has no %s", name)
		}
		raw, err := f.raw()
		if err != nil {
			return nil, err
		}
		parts[name] = string(raw)
	}
	style := faceOf.ReplaceAllStringFunc(parts["app.css"], func(m string) string {
		name := path.Base(faceOf.FindStringSubmatch(m)[1])
		if f := a.of[name]; f != nil {
			if raw, err := f.raw(); err == nil {
				return `url("data:font/woff2;base64,` + base64.StdEncoding.EncodeToString(raw) + `")`
			}
		}
		return m
	})
	engine, err := packed(parts[engineName])
	if err != nil {
		return nil, err
	}
	job, err := json.Marshal(held) // it writes < as \u003c: nothing in it ends the script
	if err != nil {
		return nil, err
	}
	script := strings.ReplaceAll(parts["app.js"], "</script", `<\/script`)
	worker := strings.ReplaceAll(parts["engine.js"], "</script", `<\/script`)
	var b bytes.Buffer
	fmt.Fprintf(&b, `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src '%s' 'wasm-unsafe-eval' blob:; worker-src blob:; `+
		`style-src '%s'; img-src blob: data:; font-src data:; base-uri 'none'; form-action 'none'">
<meta name="color-scheme" content="light dark"><title>%s</title><style>%s</style></head>
<body><noscript>This page draws and plans the roof in your browser: allow it to run scripts.</noscript>
<script type="application/json" id="gelwright-job">%s</script>
<script type="text/plain" id="gelwright-worker">%s</script>
<script type="text/plain" id="gelwright-engine">%s</script>
<script type="module">%s</script>
</body></html>
`, hashed(script), hashed(style), html.EscapeString(held.Title), style, job, worker, engine, script)
	return b.Bytes(), nil
}

// hashed names an inline text as a policy does.
func hashed(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// packed is a text as a browser unpacks it, in letters.
func packed(text string) (string, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return "", err
	}
	if _, err = z.Write([]byte(text)); err != nil {
		return "", err
	}
	if err = z.Close(); err != nil {
		return "", err
	}
	return base64.StdEncoding.EncodeToString(b.Bytes()), nil
}
