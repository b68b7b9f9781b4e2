package web

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"net/http"
	"path"
	"regexp"

	"gelwright/document"
	"gelwright/rooffile"
)

// zipName is all papers as one file.
const zipName = "all.zip"

// paperMedia are the kinds of papers, by the ends of their names.
var paperMedia = map[string]string{".pdf": "application/pdf", ".html": "text/html; charset=utf-8", ".svg": "image/svg+xml",
	".dxf": "image/vnd.dxf", ".csv": "text/csv; charset=utf-8", ".json": "application/json", ".zip": "application/zip"}

// papers are those of a state of a job.
func (s *Server) papers(ctx context.Context, b *basis) ([]document.File, error) {
	p, err := s.plan(ctx, b)
	if err != nil {
		return nil, err
	}
	return s.drawn.get(ctx, b.key(), func(ctx context.Context) ([]document.File, error) {
		files, err := document.FilesWith(ctx, p, document.Options{})
		return files, noPlan(err)
	})
}

// basisAsked is the basis of the state that is asked for: in the path, behind the question mark, or the newest.
func (s *Server) basisAsked(r *http.Request, more ...string) (*basis, *asks, error) {
	q := asksOf(r, append(more, "seq")...)
	seq := q.number("seq")
	if q.err != nil {
		return nil, q, q.err
	}
	if r.PathValue("seq") != "" {
		var err error
		if seq, err = seqOf(r); err != nil {
			return nil, q, err
		}
	}
	b, err := s.basisOf(r.Context(), jobID(r), seq)
	return b, q, err
}

// paperLine is a paper as it is listed.
type paperLine struct {
	Name  string `json:"name"`
	Media string `json:"media"`
	Bytes int    `json:"bytes"`
}

// listPapers lists the papers of a state.
func (s *Server) listPapers(w http.ResponseWriter, r *http.Request) error {
	b, _, err := s.basisAsked(r)
	if err != nil {
		return err
	}
	files, err := s.papers(r.Context(), b)
	if err != nil {
		return err
	}
	p, err := s.plan(r.Context(), b)
	if err != nil {
		return err
	}
	lines := []paperLine{}
	for _, f := range files {
		lines = append(lines, paperLine{f.Name, paperMedia[path.Ext(f.Name)], len(f.Content)})
	}
	answerJSON(w, http.StatusOK, map[string]any{"seq": b.seq, "made": p.Made, "papers": lines})
	return nil
}

// paper gives one paper of a state, or all of them as one file.
func (s *Server) paper(w http.ResponseWriter, r *http.Request) error {
	b, q, err := s.basisAsked(r, "save")
	if err != nil {
		return err
	}
	name := r.PathValue("name")
	if path.Ext(name) == ".html" && q.text("seq") != "" {
		// A page leads to the others of its state only from under that state's own address.
		http.Redirect(w, r, fmt.Sprintf("/api/jobs/%s/states/%d/papers/%s", b.job, b.seq, name), http.StatusTemporaryRedirect)
		return nil
	}
	files, err := s.papers(r.Context(), b)
	if err != nil {
		return err
	}
	if name == zipName {
		raw, err := zipped(files)
		if err != nil {
			return err
		}
		answerFile(w, r, sent{name: b.folder + ".zip", media: paperMedia[".zip"], keep: true, content: raw})
		return nil
	}
	for _, f := range files {
		if f.Name != name {
			continue
		}
		if policy := inlinePolicy(f); policy != "" {
			w.Header().Set("Content-Security-Policy", policy)
		}
		answerFile(w, r, sent{name: path.Base(name), media: paperMedia[path.Ext(name)], keep: q.yes("save"), content: f.Content})
		return nil
	}
	return unknown(name, "GET …/papers names them all", "there is no such paper")
}

// inlineStyle finds what style a paper has within it.
var inlineStyle = regexp.MustCompile(`(?s)<style>(.*?)</style>`)

// inlinePolicy is the policy of a paper that is a page or a drawing: its own style and no other, no script, nothing fetched.
// Of other papers it is empty.
func inlinePolicy(f document.File) string {
	if ext := path.Ext(f.Name); ext != ".html" && ext != ".svg" {
		return ""
	}
	styles := ""
	for _, m := range inlineStyle.FindAllSubmatch(f.Content, -1) {
		sum := sha256.Sum256(m[1])
		styles += " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	if styles == "" {
		styles = " 'none'"
	}
	return "default-src 'none'; style-src" + styles + "; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
}

// zipped are files as one, the same bytes for the same files.
func zipped(files []document.File) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		w, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(f.Content); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}

// roofFile gives the roof of a state as a roof file; one with faults as the text that it is, which is a roof file too.
func (s *Server) roofFile(w http.ResponseWriter, r *http.Request) error {
	b, _, err := s.basisAsked(r)
	if err != nil {
		return err
	}
	text := append(b.roof, '\n')
	if job, _, err := rooffile.Read(RoofName, b.roof); err == nil {
		if text, err = rooffile.Write(job); err != nil {
			return err
		}
	}
	answerFile(w, r, sent{name: RoofName, media: yamlMedia, keep: true, content: text})
	return nil
}
