package web

import (
	"context"
	"net"
	"net/http"
	"strings"

	"gelwright/people"
)

// askingKey is where a request's context has who asks.
type askingKey struct{}

// request is who asks, from where, and by what he was let in.
type request struct {
	actor people.Actor
	visit people.Visit
	// site is the name under which this server was asked.
	site people.Site
	// pass is the session, token or link; empty of nobody and of this computer.
	pass people.Pass
}

// askingOf is what is known of who asks; of nobody outside of a request.
func askingOf(ctx context.Context) request {
	a, _ := ctx.Value(askingKey{}).(request)
	return a
}

// actorOf is who asks; nobody outside of a request.
func actorOf(ctx context.Context) people.Actor { return askingOf(ctx).actor }

// by is a request with who asks in its context.
func (a request) by(r *http.Request) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), askingKey{}, a))
}

// The cookies by which a browser is let in. The prefix has it keep them for this name alone, over HTTPS: ASVS 3.3.1, 3.3.3.
const (
	sessionCookie = "__Host-session"
	linkCookie    = "__Host-link"
)

// whoAsks is who asks: this computer where there are no accounts.
func (s *Server) whoAsks(r *http.Request, right people.Right) (request, error) {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	name, _, err := net.SplitHostPort(r.Host)
	if err != nil {
		name = strings.Trim(r.Host, "[]")
	}
	a := request{visit: people.Visit{From: host, Device: people.DeviceOf(r.UserAgent())},
		site: people.Site{Name: name, Origin: "https://" + r.Host}}
	if !s.Accounts {
		a.actor = people.ThisComputer
		a.site.Origin = "http://" + r.Host
		return a, nil
	}
	return a, s.known(r, right, &a)
}

// known finds who asks by what a request bears: a token, the cookie of a session, or that of a customer's link. What a link alone
// shows is asked for with a link, whoever else has signed in with the same browser. ASVS 8.3.1: it is found out here.
func (s *Server) known(r *http.Request, right people.Right, a *request) (err error) {
	if scheme, token, _ := strings.Cut(r.Header.Get("Authorization"), " "); strings.EqualFold(scheme, "Bearer") {
		a.actor, a.pass, err = s.door.Who(r.Context(), a.visit, people.Token, strings.TrimSpace(token))
		return err
	}
	for _, c := range []struct {
		cookie string
		kind   people.PassKind
	}{{sessionCookie, people.Session}, {linkCookie, people.Link}} {
		kept, err := r.Cookie(c.cookie)
		if err != nil || c.kind == people.Session && right == people.SeeOwnJob {
			continue
		}
		a.actor, a.pass, err = s.door.Who(r.Context(), a.visit, c.kind, kept.Value)
		if err == nil || people.KindOf(err) != people.Stranger {
			return err
		}
	}
	return nil
}

// permitted says why somebody may not ask for what needs a right; nil where he may. A customer is told of nothing but what is his,
// not even that there is more. ASVS 8.2.1.
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
	return forbidden(r.URL.Path, right)
}

// forbidden is why somebody who is known may not do a thing.
func forbidden(place string, right people.Right) error {
	return &problem{status: http.StatusForbidden, Code: "right", Place: place, Message: "you may not " + string(right),
		Remedy: "Ask the owner of the firm, who gives out what each may do"}
}

// unforged refuses a change that is asked for by cookie where no browser says from which page it comes: ASVS 3.5.1. Browsers say so;
// programs ask with a token. What another site's page asks is refused before (policy.go).
func (s *Server) unforged(r *http.Request) error {
	kind := askingOf(r.Context()).pass.Kind
	if kind != people.Session && kind != people.Link || r.Header.Get("Sec-Fetch-Site") != "" || r.Header.Get("Origin") != "" {
		return nil
	}
	return &problem{status: http.StatusForbidden, Code: "origin", Place: "Origin", Message: "it is not said from which page this is asked",
		Remedy: "Ask from a page of this server, or with a token"}
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
