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

// me tells who asks and what he may do.
func (s *Server) me(w http.ResponseWriter, r *http.Request) error {
	a := actorOf(r.Context())
	rights := a.Role.Rights()
	answerJSON(w, http.StatusOK, map[string]any{"accounts": s.Accounts, "name": a.Name, "role": a.Role, "rights": rights})
	return nil
}
