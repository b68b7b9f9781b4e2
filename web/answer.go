package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"mime"
	"net/http"
	"runtime/debug"
	"strconv"

	"gelwright/desk"
	"gelwright/margin"
	"gelwright/rooffile"
	"gelwright/store"
)

// apiPath begins the path of everything but the page.
const apiPath = "/api/"

// problem is why a question has no answer, as it is told.
type problem struct {
	status int
	// Code names the kind, Place the part of the question, Remedy what to do.
	Code    string `json:"code"`
	Place   string `json:"place"`
	Message string `json:"message"`
	Remedy  string `json:"remedy"`
	// Faults are those of a roof; Newest is the newest state of a job that has moved on.
	Faults []margin.Fault `json:"faults,omitempty"`
	Newest *stateLine     `json:"newest,omitempty"`
	// allow is what may be asked there instead, for a method that may not.
	allow string
}

func (p *problem) Error() string { return p.Place + ": " + p.Message + ". " + p.Remedy }

// asked is a problem with the question.
func asked(code, place, remedy, format string, args ...any) error {
	return &problem{status: http.StatusBadRequest, Code: code, Place: place, Message: fmt.Sprintf(format, args...), Remedy: remedy}
}

// unknown is a question for what is not there.
func unknown(place, remedy, format string, args ...any) error {
	return &problem{status: http.StatusNotFound, Code: "unknown", Place: place, Message: fmt.Sprintf(format, args...), Remedy: remedy}
}

// guarded is a route as a handler: whoever asks has its right, its body is read no further than it may be long, and why there is
// no answer is told.
func (s *Server) guarded(row route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		actor, err := s.whoAsks(r)
		if r = asBy(r, actor); err == nil {
			err = permitted(r, row.who)
		}
		if err != nil {
			s.refuse(w, r, err)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, row.mostBytes)
		if row.mostBytes == 0 && r.ContentLength > 0 {
			s.refuse(w, r, &http.MaxBytesError{})
			return
		}
		if err := row.answer(w, r); err != nil {
			s.refuse(w, r, err)
		}
	})
}

// refuse tells why a question has no answer.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, err error) {
	if r.Context().Err() != nil && errors.Is(err, context.Canceled) {
		return // nobody waits for it any more
	}
	p := problemOf(err)
	if p.status >= http.StatusInternalServerError {
		s.Log.Error("no answer", "method", r.Method, "path", r.URL.Path, "error", err)
	}
	if p.allow != "" {
		w.Header().Set("Allow", p.allow)
	}
	answerJSON(w, p.status, map[string]any{"error": p})
}

// problemOf is an error as it is told.
func problemOf(err error) *problem {
	var p *problem
	var long *http.MaxBytesError
	var kept *store.Error
	var roof rooffile.Faults
	var none *desk.Error
	switch {
	case errors.As(err, &p):
		return p
	case errors.As(err, &kept):
		return problemOfStore(kept)
	case errors.As(err, &roof):
		return problemOfRoof(roof)
	case errors.As(err, &none):
		return problemOfPlan(none)
	case errors.As(err, &long):
		return &problem{status: http.StatusRequestEntityTooLarge, Code: "large", Place: "body",
			Message: fmt.Sprintf("it is longer than %d bytes, the most that is read here", long.Limit), Remedy: "Send less at once"}
	}
	return &problem{status: http.StatusInternalServerError, Code: "failed", Message: err.Error(),
		Remedy: "Ask again; if it stays so, start the program anew"}
}

// storeProblems are the codes of a store's refusals and what HTTP calls them.
var storeProblems = map[store.Kind]struct {
	status int
	code   string
}{
	store.Unknown: {http.StatusNotFound, "unknown"}, store.Conflict: {http.StatusConflict, "conflict"},
	store.Clash:   {http.StatusConflict, "clash"},
	store.Refused: {http.StatusBadRequest, "refused"}, store.TooLarge: {http.StatusRequestEntityTooLarge, "large"},
	store.Damaged: {http.StatusUnprocessableEntity, "damaged"}, store.Newer: {http.StatusUnprocessableEntity, "newer"},
	store.Full: {http.StatusInsufficientStorage, "full"}, store.Failed: {http.StatusInternalServerError, "failed"},
}

// problemOfStore is a store's refusal as it is told.
func problemOfStore(e *store.Error) *problem {
	x, known := storeProblems[e.Kind]
	if !known {
		x = storeProblems[store.Failed]
	}
	p := &problem{status: x.status, Code: x.code, Place: e.Place, Message: e.Found, Remedy: e.Remedy}
	if e.Cause != nil {
		p.Message += ": " + e.Cause.Error()
	}
	if p.Remedy == "" {
		p.Remedy = "Look at " + e.Place
	}
	return p
}

// problemOfRoof tells every fault of a roof file, or of the firm's.
func problemOfRoof(list rooffile.Faults) *problem {
	p := &problem{status: http.StatusUnprocessableEntity, Code: "faults", Place: list[0].File,
		Remedy: "Mend each as it says and ask again", Faults: margin.RefusalOf(list).Faults}
	bad := 0
	for _, f := range list {
		if !f.Warning {
			bad++
		}
	}
	p.Message = fmt.Sprintf("%d faults stand in the way of a plan", bad)
	if bad == 1 {
		p.Message = "one fault stands in the way of a plan"
	}
	return p
}

// problemOfPlan tells why a roof without faults has no plan.
func problemOfPlan(e *desk.Error) *problem {
	code := map[desk.Kind]string{desk.Asked: "asked", desk.Faulty: "faulty", desk.No: "no"}[e.Kind]
	p := &problem{status: http.StatusUnprocessableEntity, Code: code, Place: e.Place, Message: e.Found, Remedy: e.Remedy}
	if e.Found == "" && e.Cause != nil {
		p.Message = e.Cause.Error()
	}
	if p.Remedy == "" {
		p.Remedy = "Change what it names and ask again"
	}
	return p
}

// recovered answers for a handler that broke down.
func (s *Server) recovered(w http.ResponseWriter, r *http.Request) {
	x := recover()
	if x == nil {
		return
	}
	if x == http.ErrAbortHandler {
		panic(x)
	}
	s.Log.Error("a handler broke down", "path", r.URL.Path, "value", fmt.Sprint(x), "stack", string(debug.Stack()))
	answerJSON(w, http.StatusInternalServerError, map[string]any{"error": &problem{Code: "failed",
		Message: "the program met a fault of its own", Remedy: "What was kept is kept. Ask again; if it stays so, start the program anew"}})
}

// answerJSON answers with a value.
func answerJSON(w http.ResponseWriter, status int, value any) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false) // a document is given back as it was kept
	if err := e.Encode(value); err != nil {
		panic(err) // the values are this package's own
	}
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes()) // whoever has gone away misses nothing
}

// sent is a file that a person may keep under its name; keep has the browser save it and not show it.
type sent struct {
	name, media string
	keep        bool
	content     []byte
}

// headFile writes the head of an answer that is a file.
func headFile(h http.Header, f sent) {
	how := "inline"
	if f.keep {
		how = "attachment"
	}
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Type", f.media)
	h.Set("Content-Disposition", mime.FormatMediaType(how, map[string]string{"filename": f.name}))
}

// answerFile answers with a file.
func answerFile(w http.ResponseWriter, r *http.Request, f sent) {
	headFile(w.Header(), f)
	w.Header().Set("Content-Length", strconv.Itoa(len(f.content)))
	if r.Method != http.MethodHead {
		_, _ = w.Write(f.content) // whoever has gone away misses nothing
	}
}

// nowhere answers what no route of the table is for.
func (s *Server) nowhere(m *http.ServeMux) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h, pattern := m.Handler(r)
		if pattern != "" {
			m.ServeHTTP(w, r)
			return
		}
		// The mux knows which methods there are; only its words are not ours.
		told := &headOnly{head: http.Header{}}
		h.ServeHTTP(told, r)
		if told.status == http.StatusMethodNotAllowed {
			allow := told.head.Get("Allow")
			s.refuse(w, r, &problem{status: told.status, Code: "method", Place: r.Method, Message: "this cannot be done here",
				Remedy: "Here can be asked: " + allow, allow: allow})
			return
		}
		s.refuse(w, r, noSuchPath(r))
	})
}

func noSuchPath(r *http.Request) error {
	return unknown(r.URL.Path, "Check the address; / is the page", "there is nothing here")
}

// headOnly takes an answer's status and head.
type headOnly struct {
	head   http.Header
	status int
}

func (h *headOnly) Header() http.Header         { return h.head }
func (h *headOnly) Write(b []byte) (int, error) { return len(b), nil }
func (h *headOnly) WriteHeader(status int)      { h.status = status }
