package web

import (
	"crypto/sha256"
	"fmt"
	"io"
	"mime"
	"net/http"
	"os"
	"path"
	"strings"
	"time"

	"gelwright/store"
)

// shown are the types that a browser shows and that can hold no script; anything else that was kept is given to be saved.
var shown = map[string]bool{"image/jpeg": true, "image/png": true, "image/webp": true, "image/gif": true, "application/pdf": true,
	"text/csv": true, "text/plain": true}

// sealed is the policy of what somebody has put in: it may load and run nothing, whatever it is.
const sealed = "default-src 'none'; frame-ancestors 'none'; sandbox"

// Files that live: a job has one firm and one forecast, of which a newer one takes the place. What was kept stays, under its
// own name: "forecast.csv", then "forecast 2026-05-12 090000.000.csv".
const (
	firmName     = "firm.yaml"
	forecastName = "forecast.csv"
)

// newestOf is the newest of the files under a living name; nil where there is none.
func newestOf(files []store.File, name string) *store.File {
	ext := path.Ext(name)
	stem := strings.TrimSuffix(name, ext)
	var newest *store.File
	for i, f := range files {
		after, ours := strings.CutPrefix(strings.TrimSuffix(f.Name, ext), stem)
		if ours = ours && path.Ext(f.Name) == ext && (after == "" || after[0] == ' '); ours && (newest == nil || f.When.After(newest.When)) {
			newest = &files[i]
		}
	}
	return newest
}

// nameNow is the name under which something is kept now that was put under a living name: its own, or one with the time where
// there is one already with other content.
func (s *Server) nameNow(r *http.Request, name string, content []byte, when time.Time) (string, error) {
	files, err := s.Jobs.Files(r.Context(), jobID(r))
	if err != nil {
		return "", err
	}
	newest := newestOf(files, name)
	switch {
	case newest == nil:
		return name, nil
	case newest.SHA256 == fmt.Sprintf("%x", sha256.Sum256(content)):
		return newest.Name, nil
	}
	ext := path.Ext(name)
	return strings.TrimSuffix(name, ext) + when.UTC().Format(" 2006-01-02 150405.000") + ext, nil
}

// living reports whether a newer file takes the place of an older one of this name.
func living(name string) bool { return name == firmName || name == forecastName }

// listFiles lists the files and photos of a job.
func (s *Server) listFiles(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Jobs.Files(r.Context(), jobID(r))
	if err != nil {
		return err
	}
	if list == nil {
		list = []store.File{}
	}
	answerJSON(w, http.StatusOK, map[string]any{"files": list})
	return nil
}

// putFile keeps a file under a name.
func (s *Server) putFile(w http.ResponseWriter, r *http.Request) error {
	q := asksOf(r, "who")
	who := q.text("who")
	if q.err != nil {
		return q.err
	}
	if who == "" {
		who = somebody
	}
	who = s.doneBy(r.Context(), who)
	media, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil {
		return asked("media", "Content-Type", "Say what the file is, as image/jpeg or text/csv", "the kind of the file is not said")
	}
	content, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	name, when := r.PathValue("name"), s.Now()
	if living(name) {
		if name, err = s.nameNow(r, name, content, when); err != nil {
			return err
		}
	}
	f, err := s.Jobs.PutFile(r.Context(), jobID(r), store.NewFile{Name: name, MediaType: media, When: when, Who: who, Bytes: content})
	if err != nil {
		return err
	}
	answerJSON(w, http.StatusCreated, f)
	return nil
}

// readFile gives a file that was kept.
func (s *Server) readFile(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("name")
	if living(name) {
		files, err := s.Jobs.Files(r.Context(), jobID(r))
		if err != nil {
			return err
		}
		newest := newestOf(files, name)
		if newest == nil {
			w.WriteHeader(http.StatusNoContent) // a job without is a job; a page asks each time that it opens one
			return nil
		}
		name = newest.Name
	}
	f, content, err := s.Jobs.ReadFile(r.Context(), jobID(r), name)
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Security-Policy", sealed)
	h.Set("ETag", `"`+f.SHA256+`"`)
	media := f.MediaType
	if !shown[media] {
		media = "application/octet-stream"
	}
	answerFile(w, r, sent{name: f.Name, media: media, keep: !shown[f.MediaType], content: content})
	return nil
}

// export gives a job whole, as one file.
func (s *Server) export(w http.ResponseWriter, r *http.Request) error {
	j, err := s.Jobs.Get(r.Context(), jobID(r))
	if err != nil {
		return err
	}
	out := &late{w: w, name: fileNameOf(j.Title) + ".zip"}
	if err := s.Jobs.Export(r.Context(), j.ID, out); err != nil {
		if out.begun {
			s.Log.Error("an export was cut off", "job", j.ID, "error", err)
			panic(http.ErrAbortHandler) // half a file must not look whole
		}
		return err
	}
	return nil
}

// late writes the head of an answer when its first bytes are there.
type late struct {
	w     http.ResponseWriter
	name  string
	begun bool
}

func (l *late) Write(b []byte) (int, error) {
	if !l.begun {
		l.begun = true
		headFile(l.w.Header(), sent{name: l.name, media: "application/zip", keep: true})
	}
	return l.w.Write(b)
}

// importJob takes a job in that was exported. It is put down first: what reads it reads here and there.
func (s *Server) importJob(w http.ResponseWriter, r *http.Request) error {
	f, err := os.CreateTemp("", "gelwright-import-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	defer f.Close()
	size, err := io.Copy(f, r.Body)
	if err != nil {
		return err
	}
	j, err := s.Jobs.Import(r.Context(), f, size)
	if err != nil {
		return err
	}
	begun(w, j)
	return nil
}
