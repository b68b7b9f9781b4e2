package web

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"
)

// sent is a file that a person may keep under its name; keep has the browser save it and not show it.
type sent struct {
	name, media string
	keep        bool
	content     []byte
	// policy is the policy of this file where it has one of its own.
	policy string
}

// headFile writes the head of an answer that is a file.
func headFile(h http.Header, f sent) {
	how := "inline"
	if f.keep {
		how = "attachment"
	}
	media := f.media
	if strings.HasPrefix(media, "text/") && !strings.Contains(media, "charset") {
		media += "; charset=utf-8" // ASVS 5.0 4.1.1
	}
	h.Set("Content-Type", media)
	h.Set("Content-Disposition", mime.FormatMediaType(how, map[string]string{"filename": f.name}))
	if f.policy != "" {
		h.Set("Content-Security-Policy", f.policy)
	}
}

// fileAnswer is an answer that is a file.
type fileAnswer struct {
	Body func(huma.Context)
}

// file answers with a file, or with 304 where the asker has it.
func (q Seen) file(f sent) *fileAnswer {
	return &fileAnswer{func(c huma.Context) {
		_, w := humago.Unwrap(c)
		sum := sha256.Sum256(f.content)
		tag := `"` + hex.EncodeToString(sum[:]) + `"`
		headFile(w.Header(), f)
		w.Header().Set("ETag", tag)
		if matches(q.IfNoneMatch, tag) {
			w.WriteHeader(http.StatusNotModified)
			return
		}
		w.Header().Set("Content-Length", strconv.Itoa(len(f.content)))
		_, _ = w.Write(f.content) // whoever has gone away misses nothing
	}}
}

// nothing is the answer that there is no file, which is no fault.
var nothing = &fileAnswer{func(c huma.Context) { c.SetStatus(http.StatusNoContent) }}

// streamed answers with what is written as it is made; why there is nothing is told where none of it has gone out yet.
func (s *Server) streamed(f sent, write func(io.Writer) error) *fileAnswer {
	return &fileAnswer{func(c huma.Context) {
		r, w := humago.Unwrap(c)
		out := &late{w: w, as: f}
		if err := write(out); err != nil {
			if out.begun {
				s.failed(r.Context(), "a file was cut off", "error", err)
				panic(http.ErrAbortHandler) // half a file must not look whole
			}
			s.refuse(w, r, err)
		}
	}}
}

// late writes the head of an answer when its first bytes are there.
type late struct {
	w     http.ResponseWriter
	as    sent
	begun bool
}

func (l *late) Write(b []byte) (int, error) {
	if !l.begun {
		l.begun = true
		headFile(l.w.Header(), l.as)
	}
	return l.w.Write(b)
}
