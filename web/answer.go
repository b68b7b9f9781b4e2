package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
)

// apiPath begins the path of everything but the page.
const apiPath = "/api/"

// guarded is a row as a handler: whoever asks has its right, its body is read no further than it may be long, and why there is
// no answer is told.
func (s *Server) guarded(row route, answer handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		note := noteOf(r.Context())
		note.route = row.pattern
		who, err := s.whoAsks(r, row.who)
		r = who.by(r)
		note.actor = actorOf(r.Context())
		if note.actor.ID != "" && s.tooOften(r, note.actor.ID) {
			s.often(w, r)
			return
		}
		if err == nil {
			err = permitted(r, row.who)
		}
		if err == nil && row.changes {
			err = s.unforged(r)
		}
		if err != nil {
			s.turnAway(w, r, err)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, row.mostBytes)
		// A long body is read as far as it may be: who is still sending it would not hear the answer.
		if r.ContentLength > row.mostBytes && row.mostBytes <= mostWords {
			s.refuse(w, r, &http.MaxBytesError{Limit: row.mostBytes})
			return
		}
		out := &noted{ResponseWriter: w}
		if err := answer(out, r); err != nil {
			s.refuse(out, r, err)
		}
		if s.Accounts && row.changes && out.status < http.StatusBadRequest {
			s.noteChange(r, row)
		}
	})
}

// refuse tells why a question has no answer.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, err error) {
	if r.Context().Err() != nil && errors.Is(err, context.Canceled) {
		return // nobody waits for it any more
	}
	p := s.told(r.Context(), err)
	answerProblem(w, p)
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
	s.failed(r.Context(), "a handler broke down", "value", fmt.Sprint(x), "stack", string(debug.Stack()))
	answerProblem(w, &problem{status: http.StatusInternalServerError, Code: "failed", Message: "the program met a fault of its own",
		Remedy: "What was kept is kept. Ask again; if it stays so, start the program anew"})
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
