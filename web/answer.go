package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"mime"
	"net/http"
	"runtime/debug"
	"strconv"
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
	// allow is what may be asked there instead, for a method that may not.
	allow string
}

func (p *problem) Error() string { return p.Place + ": " + p.Message + ". " + p.Remedy }

// unknown is a question for what is not there.
func unknown(place, remedy, format string, args ...any) error {
	return &problem{status: http.StatusNotFound, Code: "unknown", Place: place, Message: fmt.Sprintf(format, args...), Remedy: remedy}
}

// guarded is a route as a handler: its body is read no further than it may be long, and why there is no answer is told.
func (s *Server) guarded(row route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
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
	switch {
	case errors.As(err, &p):
		return p
	case errors.As(err, &long):
		return &problem{status: http.StatusRequestEntityTooLarge, Code: "large", Place: "body",
			Message: fmt.Sprintf("it is longer than %d bytes, the most that is read here", long.Limit), Remedy: "Send less at once"}
	}
	return &problem{status: http.StatusInternalServerError, Code: "failed", Message: err.Error(),
		Remedy: "Ask again; if it stays so, start the program anew"}
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
	raw, err := json.Marshal(value)
	if err != nil {
		panic(err) // the values are this package's own
	}
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_, _ = w.Write(append(raw, '\n')) // whoever has gone away misses nothing
}

// answerFile answers with a file that a person may keep under its name.
func answerFile(w http.ResponseWriter, r *http.Request, name, media string, content []byte) {
	h := w.Header()
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Type", media)
	h.Set("Content-Disposition", mime.FormatMediaType("inline", map[string]string{"filename": name}))
	h.Set("Content-Length", strconv.Itoa(len(content)))
	if r.Method != http.MethodHead {
		_, _ = w.Write(content) // whoever has gone away misses nothing
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
