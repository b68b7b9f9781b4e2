package web

import (
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"mime"
	"os"
	"path"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"gelwright/desk"
	"gelwright/firmfile"
	"gelwright/people"
	"gelwright/store"
	"gelwright/weather/forecast"
	"gelwright/work"
)

// shown are the types that a browser shows and that can hold no script; anything else that was kept is given to be saved.
var shown = map[string]bool{"image/jpeg": true, "image/png": true, "image/webp": true, "image/gif": true, "application/pdf": true,
	"text/csv": true, "text/plain": true}

// sealed is the policy of what somebody has put in: it may load and run nothing, whatever it is.
const sealed = "default-src 'none'; frame-ancestors 'none'; sandbox"

// Files that live: a job has one firm and one forecast, of which a newer one takes the place. What was kept stays, under its
// own name: "forecast.csv", then "forecast 2026-05-12 090000.000.csv".
const (
	firmName     = work.FirmName
	forecastName = work.ForecastName
)

// nameNow is the name under which something is kept now that was put under a living name: its own, or one with the time where
// there is one already with other content.
func nameNow(files []store.File, name string, content []byte, when time.Time) string {
	newest := work.NewestOf(files, name)
	switch {
	case newest == nil:
		return name
	case newest.SHA256 == fmt.Sprintf("%x", sha256.Sum256(content)):
		return newest.Name
	}
	ext := path.Ext(name)
	return strings.TrimSuffix(name, ext) + when.UTC().Format(" 2006-01-02 150405.000") + ext
}

// living reports whether a newer file takes the place of an older one of this name.
func living(name string) bool { return name == firmName || name == forecastName }

// listAsked is a question for a list of a job.
type listAsked struct {
	JobAsked
	Whole
}

type filesAnswer struct {
	Body fileList
}

type fileList struct {
	Files []store.File `json:"files"`
	Paging
}

// listFiles lists the files and photos of a job.
func (s *Server) listFiles(ctx context.Context, q *listAsked) (*filesAnswer, error) {
	list, err := s.Jobs.Files(ctx, q.ID)
	if err != nil {
		return nil, err
	}
	lines, pages := part(q.Whole, list)
	return &filesAnswer{fileList{lines, pages}}, nil
}

type putSeen struct {
	JobAsked
	Name    string `path:"name" doc:"Its name: 1 to 200 letters, no path"`
	Who     string `query:"who" default:"this computer" doc:"By whom"`
	Media   string `header:"Content-Type" hidden:"true"`
	RawBody []byte `contentType:"*/*"`
}

type keptFileAnswer struct {
	Body store.File
}

// plannable refuses a firm file or a forecast that no plan could be made on; one of no bytes takes the one before away.
func plannable(name string, content []byte) error {
	if len(content) == 0 {
		return nil
	}
	switch {
	case ofFirm(name):
		_, _, err := firmfile.Read(name, content)
		return err
	case ofSky(name):
		if _, err := forecast.Read(content, forecast.Options{Name: name, Zone: time.UTC}); err != nil {
			return &desk.Error{Kind: desk.Faulty, Place: name, Cause: err, Remedy: "Mend it as it says, or put another in"}
		}
	}
	return nil
}

// putFile keeps a file under a name.
func (s *Server) putFile(ctx context.Context, q *putSeen) (*keptFileAnswer, error) {
	media, _, err := mime.ParseMediaType(q.Media)
	if err != nil {
		return nil, asked("media", "Content-Type", "Say what the file is, as image/jpeg or text/csv", "the kind of the file is not said")
	}
	name, when := q.Name, s.Now()
	if ofFirm(name) && !actorOf(ctx).May(people.SeePrices) {
		return nil, forbidden(name, people.SeePrices)
	}
	if ofSky(name) && !actorOf(ctx).May(people.ChangeJobs) {
		return nil, forbidden(name, people.ChangeJobs) // what a roof is planned on is the office's
	}
	if err := looked(name, media, q.RawBody); err != nil {
		return nil, err
	}
	if err := plannable(name, q.RawBody); err != nil {
		return nil, err
	}
	files, err := s.Jobs.Files(ctx, q.ID)
	if err != nil {
		return nil, err
	}
	if err := roomFor(files, name, int64(len(q.RawBody))); err != nil {
		return nil, err
	}
	if living(name) {
		name = nameNow(files, name, q.RawBody, when)
	}
	f, err := s.Jobs.PutFile(ctx, q.ID, store.NewFile{Name: name, MediaType: media, When: when, Who: s.doneBy(ctx, q.Who), Bytes: q.RawBody})
	if err != nil {
		return nil, err
	}
	return &keptFileAnswer{f}, nil
}

type fileOfJobAsked struct {
	JobAsked
	Seen
	Name string `path:"name" doc:"Its name, as it is listed; firm.yaml and forecast.csv are the newest of theirs"`
}

// readFile gives a file that was kept.
func (s *Server) readFile(ctx context.Context, q *fileOfJobAsked) (*fileAnswer, error) {
	name := q.Name
	if err := ofPapers(ctx, name); err != nil {
		return nil, err
	}
	if living(name) {
		files, err := s.Jobs.Files(ctx, q.ID)
		if err != nil {
			return nil, err
		}
		newest := work.NewestOf(files, name)
		if newest == nil {
			return nothing, nil // a job without is a job; a page asks each time that it opens one
		}
		name = newest.Name
	}
	f, content, err := s.Jobs.ReadFile(ctx, q.ID, name)
	if err != nil {
		return nil, err
	}
	if ofFirm(f.Name) && !actorOf(ctx).May(people.SeePrices) {
		if content, err = withoutPrices(content); err != nil {
			return nil, err
		}
	}
	// What came within an exported job was looked at by nobody yet.
	show := shown[f.MediaType] && looked(f.Name, f.MediaType, content) == nil
	media := unknownMedia
	if show {
		media = f.MediaType
	}
	return q.file(sent{name: f.Name, media: media, keep: !show, content: content, policy: sealed}), nil
}

// export gives a job whole, as one file.
func (s *Server) export(ctx context.Context, q *JobAsked) (*fileAnswer, error) {
	j, err := s.Jobs.Get(ctx, q.ID)
	if err != nil {
		return nil, err
	}
	return s.streamed(sent{name: fileNameOf(j.Title) + ".zip", media: paperMedia[".zip"], keep: true}, func(w io.Writer) error {
		return s.Jobs.Export(ctx, j.ID, w)
	}), nil
}

// importAsked is a job that comes in as a file, which may be longer than memory is.
type importAsked struct {
	body io.Reader
}

// Resolve takes the body as it comes.
func (q *importAsked) Resolve(c huma.Context) []error {
	q.body = c.BodyReader()
	return nil
}

// importJob takes a job in that was exported. It is put down first: what reads it reads here and there.
func (s *Server) importJob(ctx context.Context, q *importAsked) (*begunAnswer, error) {
	f, err := os.CreateTemp("", "gelwright-import-*")
	if err != nil {
		return nil, err
	}
	defer os.Remove(f.Name())
	defer f.Close()
	size, err := io.Copy(f, q.body)
	if err != nil {
		return nil, err
	}
	j, err := s.Jobs.Import(ctx, f, size)
	if err != nil {
		return nil, err
	}
	return begun(j, j.Newest), nil
}
