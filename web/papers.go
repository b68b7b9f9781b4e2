package web

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"net/http"
	"path"
	"regexp"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"gelwright/document"
	"gelwright/people"
	"gelwright/plan"
	"gelwright/rooffile"
	"gelwright/store"
	"gelwright/work"
)

// zipName is all papers as one file.
const zipName = "all.zip"

// Kinds of what is given and taken.
const (
	zipMedia  = "application/zip"
	htmlMedia = "text/html; charset=utf-8"
)

// paperMedia are the kinds of papers, by the ends of their names.
var paperMedia = map[string]string{".pdf": "application/pdf", ".html": htmlMedia, ".svg": "image/svg+xml",
	".dxf": "image/vnd.dxf", ".csv": "text/csv; charset=utf-8", ".json": "application/json", ".zip": zipMedia}

// papers are those of a state of a job.
func (s *Server) papers(ctx context.Context, b *basis) ([]document.File, error) {
	p, err := s.plan(ctx, b)
	if err != nil {
		return nil, err
	}
	return s.drawn.get(ctx, b.Key(), func(ctx context.Context) ([]document.File, error) {
		files, err := document.FilesWith(ctx, p, document.Options{})
		return files, work.NoPlan(err)
	})
}

// paperLine is a paper as it is listed.
type paperLine struct {
	Name  string `json:"name" doc:"Its name, with the folder that it is in"`
	Media string `json:"media" doc:"Its kind, as application/pdf"`
	Bytes int    `json:"bytes" doc:"How long it is"`
}

type papersAsked struct {
	StateAsked
	Whole
}

type papersAnswer struct {
	Body paperList
}

type paperList struct {
	Seq    int           `json:"seq" doc:"The number of the state that they are of"`
	Made   plan.Identity `json:"made"`
	Papers []paperLine   `json:"papers"`
	Paging
}

// listPapers lists the papers of a state.
func (s *Server) listPapers(ctx context.Context, q *papersAsked) (*papersAnswer, error) {
	b, err := s.basisOf(ctx, q.ID, q.Seq)
	if err != nil {
		return nil, err
	}
	files, err := s.papers(ctx, b)
	if err != nil {
		return nil, err
	}
	p, err := s.plan(ctx, b)
	if err != nil {
		return nil, err
	}
	lines := []paperLine{}
	for _, f := range papersFor(ctx, files) {
		lines = append(lines, paperLine{f.Name, paperMedia[path.Ext(f.Name)], len(f.Content)})
	}
	lines, pages := part(q.Whole, lines)
	return &papersAnswer{paperList{b.Seq, p.Made, lines, pages}}, nil
}

// PaperAsked is a question for a paper.
type PaperAsked struct {
	Seen
	Name string `path:"name" doc:"Its name as it is listed, with the folder that it is in; all.zip is all of them"`
	Save bool   `query:"save" doc:"Have the browser save it and not show it"`
}

type newestPaperAsked struct {
	StateAsked
	PaperAsked
}

// newestPaper gives one paper of the newest state, or of one that is named, or all of them as one file.
func (s *Server) newestPaper(ctx context.Context, q *newestPaperAsked) (*fileAnswer, error) {
	if path.Ext(q.Name) == ".html" && q.Seq != 0 {
		if _, err := s.Jobs.StateAt(ctx, q.ID, q.Seq); err != nil {
			return nil, err
		}
		// A page leads to the others of its state only from under that state's own address.
		at := fmt.Sprintf("/api/jobs/%s/states/%d/papers/%s", q.ID, q.Seq, q.Name)
		return &fileAnswer{func(c huma.Context) {
			r, w := humago.Unwrap(c)
			http.Redirect(w, r, at, http.StatusTemporaryRedirect)
		}}, nil
	}
	return s.paper(ctx, q.ID, q.Seq, &q.PaperAsked)
}

type paperOfAsked struct {
	SeqAsked
	PaperAsked
}

// paperOf gives one paper of a state, or all of them as one file.
func (s *Server) paperOf(ctx context.Context, q *paperOfAsked) (*fileAnswer, error) {
	return s.paper(ctx, q.ID, q.Seq, &q.PaperAsked)
}

func (s *Server) paper(ctx context.Context, job store.ID, seq int, q *PaperAsked) (*fileAnswer, error) {
	if !maySee(ctx, q.Name) {
		return nil, forbidden(q.Name, people.SeePrices)
	}
	b, err := s.basisOf(ctx, job, seq)
	if err != nil {
		return nil, err
	}
	files, err := s.papers(ctx, b)
	if err != nil {
		return nil, err
	}
	if q.Name == zipName {
		raw, err := work.Zipped(papersFor(ctx, files))
		if err != nil {
			return nil, err
		}
		return q.file(sent{name: b.folder + ".zip", media: paperMedia[".zip"], keep: true, content: raw}), nil
	}
	for _, f := range files {
		if f.Name == q.Name {
			return q.file(sent{name: path.Base(f.Name), media: paperMedia[path.Ext(f.Name)], keep: q.Save, content: f.Content,
				policy: inlinePolicy(f)}), nil
		}
	}
	return nil, unknown(q.Name, "GET …/papers names them all", "there is no such paper")
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

// FileOfState is a question for a file that is made of a state.
type FileOfState struct {
	StateAsked
	Seen
}

// roofFile gives the roof of a state as a roof file; one with faults as the text that it is, which is a roof file too.
func (s *Server) roofFile(ctx context.Context, q *FileOfState) (*fileAnswer, error) {
	b, err := s.basisOf(ctx, q.ID, q.Seq)
	if err != nil {
		return nil, err
	}
	text := append(b.Roof, '\n')
	if job, _, err := rooffile.Read(work.RoofName, b.Roof); err == nil {
		if text, err = rooffile.Write(job); err != nil {
			return nil, err
		}
	}
	return q.file(sent{name: work.RoofName, media: yamlMedia, keep: true, content: text}), nil
}
