package web

import (
	"context"
	"net/http"
	"time"

	"gelwright/people"
)

// PassLine is a session, token or link as it is listed.
type PassLine struct {
	ID   string      `json:"id"`
	Name string      `json:"name" doc:"A device, what a token is for, a customer"`
	Role people.Role `json:"role"`
	From string      `json:"from" doc:"The address for which it was made"`
	Made time.Time   `json:"made"`
	Used *time.Time  `json:"used,omitempty" doc:"When it was used last, to five minutes"`
	Ends time.Time   `json:"ends"`
	This bool        `json:"this,omitempty" doc:"Whether it is the one that asks"`
}

type passesAnswer struct {
	Body struct {
		Passes []PassLine `json:"passes"`
	}
}

// passes lists what lets somebody in, the newest first.
func (s *Server) passes(ctx context.Context, of people.Passes) (*passesAnswer, error) {
	all, err := s.door.Living(ctx, of)
	if err != nil {
		return nil, err
	}
	out := &passesAnswer{}
	out.Body.Passes = []PassLine{}
	this := askingOf(ctx).pass.ID
	for _, p := range all {
		line := PassLine{ID: p.ID, Name: p.Name, Role: p.Role, From: p.From, Made: p.Made, Ends: p.Ends, This: p.ID == this}
		if !p.Used.IsZero() {
			line.Used = &p.Used
		}
		out.Body.Passes = append(out.Body.Passes, line)
	}
	return out, nil
}

// ownID is the account of who asks; without one there is nothing of his own.
func ownID(ctx context.Context) (string, error) {
	if a := actorOf(ctx); a.ID != "" {
		return a.ID, nil
	}
	return "", unknown("account", "Sign in to one", "this computer has no account of its own")
}

// doneAnswer says that something is done.
type doneAnswer struct {
	Body struct {
		Done bool `json:"done"`
	}
}

func done(err error) (*doneAnswer, error) {
	if err != nil {
		return nil, err
	}
	out := &doneAnswer{}
	out.Body.Done = true
	return out, nil
}

// ownPasses lists one's own sessions or tokens.
func (s *Server) ownPasses(kind people.PassKind) func(context.Context, *struct{}) (*passesAnswer, error) {
	return func(ctx context.Context, _ *struct{}) (*passesAnswer, error) {
		id, err := ownID(ctx)
		if err != nil {
			return nil, err
		}
		return s.passes(ctx, people.Passes{Account: id, Kind: kind})
	}
}

type passAsked struct {
	ID string `path:"pass" doc:"The id of a session or token, as the list has it"`
}

// endOwnPass ends one's own session or token. ASVS 7.5.2.
func (s *Server) endOwnPass(kind people.PassKind) func(context.Context, *passAsked) (*doneAnswer, error) {
	return func(ctx context.Context, q *passAsked) (*doneAnswer, error) {
		id, err := ownID(ctx)
		if err != nil {
			return nil, err
		}
		a := askingOf(ctx)
		return done(s.door.EndPass(ctx, a.visit, a.actor, people.Passes{ID: q.ID, Account: id, Kind: kind}, ""))
	}
}

// endOtherSessions ends all of one's own sessions but the one that asks. ASVS 7.4.3, 7.5.2.
func (s *Server) endOtherSessions(ctx context.Context, _ *struct{}) (*doneAnswer, error) {
	id, err := ownID(ctx)
	if err != nil {
		return nil, err
	}
	a := askingOf(ctx)
	return done(s.door.EndPass(ctx, a.visit, a.actor, people.Passes{Account: id, Kind: people.Session, But: a.pass.ID}, "all others"))
}

type tokenAsked struct {
	Body struct {
		Name string      `json:"name" doc:"What the token is for"`
		Role people.Role `json:"role" doc:"No greater than that of whoever makes it: owner, estimator or crew"`
		Ends time.Time   `json:"ends" doc:"When it ends: a year on at most"`
	}
}

// secretAnswer is something new with its secret, which is told this once.
type secretAnswer struct {
	Body struct {
		ID     string    `json:"id"`
		Secret string    `json:"secret" doc:"Told this once: only its hash is kept"`
		Ends   time.Time `json:"ends"`
	}
}

func secretOf(secret string, p people.Pass, err error) (*secretAnswer, error) {
	if err != nil {
		return nil, err
	}
	out := &secretAnswer{}
	out.Body.ID, out.Body.Secret, out.Body.Ends = p.ID, secret, p.Ends
	return out, nil
}

// newToken makes a token for a program that asks for whoever makes it. A token makes no other: who has one found cannot keep it.
func (s *Server) newToken(ctx context.Context, q *tokenAsked) (*secretAnswer, error) {
	if _, err := ownID(ctx); err != nil {
		return nil, err
	}
	a := askingOf(ctx)
	if a.pass.Kind == people.Token {
		return nil, &problem{status: http.StatusForbidden, Code: "right", Place: "token", Message: "a token makes no other",
			Remedy: "Sign in, and make it on the page of your own account"}
	}
	return secretOf(s.door.MakeToken(ctx, a.visit, a.actor, q.Body.Name, q.Body.Role, q.Body.Ends))
}

// PasskeyLine is a passkey as it is listed.
type PasskeyLine struct {
	ID   string     `json:"id"`
	Name string     `json:"name"`
	Made time.Time  `json:"made"`
	Used *time.Time `json:"used,omitempty"`
}

type passkeysAnswer struct {
	Body struct {
		Passkeys []PasskeyLine `json:"passkeys"`
	}
}

// listPasskeys lists one's own passkeys, the newest first.
func (s *Server) listPasskeys(ctx context.Context, _ *struct{}) (*passkeysAnswer, error) {
	id, err := ownID(ctx)
	if err != nil {
		return nil, err
	}
	all, err := s.People.Passkeys(ctx, id)
	if err != nil {
		return nil, err
	}
	out := &passkeysAnswer{}
	out.Body.Passkeys = []PasskeyLine{}
	for _, k := range all {
		line := PasskeyLine{ID: k.ID, Name: k.Name, Made: k.Made}
		if !k.Used.IsZero() {
			line.Used = &k.Used
		}
		out.Body.Passkeys = append(out.Body.Passkeys, line)
	}
	return out, nil
}

// beginPasskey asks a device for a new passkey.
func (s *Server) beginPasskey(ctx context.Context, _ *struct{}) (*passkeyQuestion, error) {
	if _, err := ownID(ctx); err != nil {
		return nil, err
	}
	a := askingOf(ctx)
	return questionOf(s.door.BeginPasskey(ctx, a.visit, a.site, a.actor))
}

// newPasskey keeps the passkey that a device has made.
func (s *Server) newPasskey(ctx context.Context, q *passkeyAnswered) (*doneAnswer, error) {
	if _, err := ownID(ctx); err != nil {
		return nil, err
	}
	a := askingOf(ctx)
	return done(s.door.FinishPasskey(ctx, a.visit, a.site, a.actor,
		people.Answered{Secret: q.Body.Secret, Name: q.Body.Name, Answer: q.Body.Answer}))
}

type passkeyAsked struct {
	ID string `path:"passkey" doc:"The id of a passkey, as the list has it"`
}

// endPasskey takes a passkey away.
func (s *Server) endPasskey(ctx context.Context, q *passkeyAsked) (*doneAnswer, error) {
	if _, err := ownID(ctx); err != nil {
		return nil, err
	}
	a := askingOf(ctx)
	return done(s.door.EndPasskey(ctx, a.visit, a.actor, q.ID, ""))
}
