package web

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"log/slog"
	"net"
	"net/http"
	"time"

	"gelwright/people"
)

// note is what is written down of a request: never its path, query, head or body, which may hold a link's secret, a password or a
// token, but the pattern of its route.
type note struct {
	id    string
	route string
	actor people.Actor
}

type noteKey struct{}

// noteOf is the note of a request; one of nothing outside of any.
func noteOf(ctx context.Context) *note {
	if n, ok := ctx.Value(noteKey{}).(*note); ok {
		return n
	}
	return &note{}
}

// requestID names a request in its answer and in the log, so that who was refused can be helped.
const requestID = "Request-Id"

// Watcher is told of every answer: the route's pattern ("" of none), the method, the status and how long it took.
type Watcher func(route, method string, status int, took time.Duration)

// watched notes each request, and tells log and watcher of its answer.
func (s *Server) watched(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		n := &note{id: newRequestID()}
		w.Header().Set(requestID, n.id)
		counted := &counting{ResponseWriter: w, status: http.StatusOK}
		defer func() {
			took := time.Since(began)
			if s.Watch != nil {
				s.Watch(n.route, methodOf(r), counted.status, took)
			}
			s.Log.Info("answered", "id", n.id, "method", methodOf(r), "route", n.route, "status", counted.status, "ms", took.Milliseconds(),
				"bytes", counted.bytes, "actor", n.actor.ID, "from", from(r))
		}()
		next.ServeHTTP(counted, r.WithContext(context.WithValue(r.Context(), noteKey{}, n)))
	})
}

// newRequestID is 64 random bits.
func newRequestID() string {
	var b [8]byte
	rand.Read(b[:]) // never fails (package crypto/rand)
	return hex.EncodeToString(b[:])
}

// methodOf is a method as it is written down: what is none is of a stranger's own making.
func methodOf(r *http.Request) string {
	switch r.Method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions:
		return r.Method
	}
	return "other"
}

// from is the address that a request came from. No head is believed: there is no other machine between.
func from(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return ""
	}
	return host
}

// failed logs what went wrong within a request.
func (s *Server) failed(ctx context.Context, what string, more ...any) {
	n := noteOf(ctx)
	s.Log.ErrorContext(ctx, what, append([]any{slog.String("id", n.id), slog.String("route", n.route)}, more...)...)
}

// counting notes an answer's status and length.
type counting struct {
	http.ResponseWriter
	status int
	bytes  int64
	begun  bool
}

func (c *counting) WriteHeader(status int) {
	if !c.begun && status >= http.StatusOK {
		c.status, c.begun = status, true
	}
	c.ResponseWriter.WriteHeader(status)
}

func (c *counting) Write(b []byte) (int, error) {
	c.begun = true
	n, err := c.ResponseWriter.Write(b)
	c.bytes += int64(n)
	return n, err
}

// Unwrap lets http.ResponseController through.
func (c *counting) Unwrap() http.ResponseWriter { return c.ResponseWriter }
