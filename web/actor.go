package web

import (
	"context"
	"net/http"

	"gelwright/people"
)

// actorKey is where a request's context has who asks.
type actorKey struct{}

// actorOf is who asks; nobody outside of a request.
func actorOf(ctx context.Context) people.Actor {
	a, _ := ctx.Value(actorKey{}).(people.Actor)
	return a
}

// asBy is a request with who asks in its context.
func asBy(r *http.Request, a people.Actor) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), actorKey{}, a))
}

// whoAsks is who asks: this computer where there are no accounts.
func (s *Server) whoAsks(r *http.Request) (people.Actor, error) {
	if !s.Accounts {
		return people.ThisComputer, nil
	}
	return s.known(r)
}

// permitted says why somebody may not ask for what needs a right; nil where he may. A customer is told of nothing but what is his,
// not even that there is more.
func permitted(r *http.Request, right people.Right) error {
	a := actorOf(r.Context())
	switch {
	case a.May(right):
		return nil
	case !a.Known():
		return &problem{status: http.StatusUnauthorized, Code: "sign in", Place: r.URL.Path, Message: "nobody is signed in here",
			Remedy: "Sign in, then ask again"}
	case a.Role == people.Customer || right == people.SeeOwnJob:
		return noSuchPath(r)
	}
	return &problem{status: http.StatusForbidden, Code: "right", Place: r.URL.Path, Message: "you may not " + string(right),
		Remedy: "Ask the owner of the firm, who gives out what each may do"}
}

// doneBy is who stands beside what is done: whoever is signed in, whatever the question says; without accounts whom the question
// names.
func (s *Server) doneBy(ctx context.Context, said string) string {
	if s.Accounts {
		return actorOf(ctx).Name
	}
	return said
}

type meAnswer struct {
	Body asker
}

// asker is who asks.
type asker struct {
	Accounts bool           `json:"accounts" doc:"Whether whoever asks must be known here"`
	Name     string         `json:"name"`
	Role     people.Role    `json:"role" doc:"Empty of nobody"`
	Rights   []people.Right `json:"rights" doc:"What may be done, in words that follow 'you may not'"`
}

// me tells who asks and what he may do.
func (s *Server) me(ctx context.Context, _ *struct{}) (*meAnswer, error) {
	a := actorOf(ctx)
	return &meAnswer{asker{s.Accounts, a.Name, a.Role, a.Role.Rights()}}, nil
}
