package web

import (
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"time"

	"gelwright/people"
)

// sessionKept is how long a browser keeps a session's cookie: as long as a session can last.
const sessionKept = 30 * 24 * time.Hour

// cookieOf is a cookie that lets a browser in, or takes that away where it has no secret. ASVS 3.3.1, 3.3.2, 3.3.4.
func cookieOf(name, secret string, lasts time.Duration) string {
	c := http.Cookie{Name: name, Value: secret, Path: "/", Secure: true, HttpOnly: true, SameSite: http.SameSiteLaxMode,
		MaxAge: int(lasts.Seconds())}
	if secret == "" {
		c.MaxAge = -1
	}
	return c.String()
}

// signedIn is an answer with which a session begins.
type signedIn struct {
	SetCookie string `header:"Set-Cookie"`
	Body      struct {
		Name string      `json:"name"`
		Role people.Role `json:"role"`
	}
}

func signedInAs(a people.Account, secret string) *signedIn {
	out := &signedIn{SetCookie: cookieOf(sessionCookie, secret, sessionKept)}
	out.Body.Name, out.Body.Role = a.Name, a.Role
	return out
}

type signInAsked struct {
	Body struct {
		SignIn   string `json:"sign_in" doc:"The name to sign in with"`
		Password string `json:"password"`
	}
}

// signIn lets in whoever has name and password.
func (s *Server) signIn(ctx context.Context, q *signInAsked) (*signedIn, error) {
	secret, a, err := s.door.SignIn(ctx, askingOf(ctx).visit, q.Body.SignIn, q.Body.Password)
	if err != nil {
		return nil, err
	}
	return signedInAs(a, secret), nil
}

// cookieAnswer is an answer that only gives a cookie or takes it away.
type cookieAnswer struct {
	SetCookie string `header:"Set-Cookie"`
	Clear     string `header:"Clear-Site-Data" doc:"At the end of a session: what the browser forgets"`
	Body      struct {
		Done bool `json:"done"`
	}
}

// signOut ends the session that asks. ASVS 7.4.1.
func (s *Server) signOut(ctx context.Context, _ *struct{}) (*cookieAnswer, error) {
	a := askingOf(ctx)
	if a.pass.Kind == people.Session {
		if err := s.door.SignOut(ctx, a.visit, a.actor, a.pass); err != nil {
			return nil, err
		}
	}
	// Pages that one could go back to are forgotten too. What the page itself keeps is light, language and units: ASVS 14.3.1.
	out := &cookieAnswer{SetCookie: cookieOf(sessionCookie, "", 0), Clear: `"cache"`}
	out.Body.Done = true
	return out, nil
}

type invitationAsked struct {
	Body struct {
		Secret string `json:"secret" doc:"What stands behind the # of the invitation's address"`
	}
}

type invitedAnswer struct {
	Body struct {
		Name   string `json:"name"`
		SignIn string `json:"sign_in" doc:"The name to sign in with"`
	}
}

// invitation says to whom an invitation is. It is a POST because a secret has no place in an address: ASVS 14.2.1.
func (s *Server) invitation(ctx context.Context, q *invitationAsked) (*invitedAnswer, error) {
	a, err := s.door.Invitation(ctx, askingOf(ctx).visit, q.Body.Secret)
	if err != nil {
		return nil, err
	}
	out := &invitedAnswer{}
	out.Body.Name, out.Body.SignIn = a.Name, a.SignIn
	return out, nil
}

type acceptAsked struct {
	Body struct {
		Secret   string `json:"secret" doc:"What stands behind the # of the invitation's address"`
		Password string `json:"password" doc:"The password that is to be: 8 letters at least"`
	}
}

// accept sets the first password, or a new one, of who was invited, and lets him in.
func (s *Server) accept(ctx context.Context, q *acceptAsked) (*signedIn, error) {
	secret, a, err := s.door.Accept(ctx, askingOf(ctx).visit, q.Body.Secret, q.Body.Password)
	if err != nil {
		return nil, err
	}
	return signedInAs(a, secret), nil
}

type firstAsked struct {
	Body struct {
		Secret   string `json:"secret" doc:"What stands behind the # of the address that was printed"`
		SignIn   string `json:"sign_in" doc:"The name to sign in with: letters, digits and . _ - @"`
		Name     string `json:"name" doc:"How others call him; it stands beside what he does"`
		Password string `json:"password" doc:"The password that is to be: 8 letters at least"`
	}
}

// FirstLink makes the address by which the first owner is made, below that of the server, and says when it ends; it is empty where
// somebody has an account already.
func (s *Server) FirstLink(ctx context.Context, address string) (string, time.Time, error) {
	secret, ends, err := s.door.FirstLink(ctx, people.Visit{Device: "the start of the server"})
	if err != nil || secret == "" {
		return "", ends, err
	}
	return strings.TrimSuffix(address, "/") + firstPath + "#" + secret, ends, nil
}

// makeFirst makes the first owner of the firm and lets him in.
func (s *Server) makeFirst(ctx context.Context, q *firstAsked) (*signedIn, error) {
	secret, a, err := s.door.MakeFirst(ctx, askingOf(ctx).visit, q.Body.Secret, q.Body.SignIn, q.Body.Name, q.Body.Password)
	if err != nil {
		return nil, err
	}
	return signedInAs(a, secret), nil
}

type passwordAsked struct {
	Body struct {
		Old      string `json:"old"`
		Password string `json:"password" doc:"The password that is to be: 8 letters at least"`
	}
}

// changePassword sets another password, ends all sessions, and begins a new one.
func (s *Server) changePassword(ctx context.Context, q *passwordAsked) (*signedIn, error) {
	a := askingOf(ctx)
	secret, err := s.door.ChangePassword(ctx, a.visit, a.actor, q.Body.Old, q.Body.Password)
	if err != nil {
		return nil, err
	}
	return signedInAs(people.Account{Name: a.actor.Name, Role: a.actor.Role}, secret), nil
}

// passkeyQuestion is what a browser asks a device, with the secret by which it goes on.
type passkeyQuestion struct {
	Body struct {
		Secret  string          `json:"secret" doc:"To be given back with the device's answer; it lives five minutes"`
		Options json.RawMessage `json:"options" doc:"For navigator.credentials: W3C Web Authentication, level 3, in its JSON form"`
	}
}

func questionOf(question any, secret string, err error) (*passkeyQuestion, error) {
	if err != nil {
		return nil, err
	}
	out := &passkeyQuestion{}
	out.Body.Secret = secret
	out.Body.Options, err = json.Marshal(question)
	return out, err
}

type passkeyAnswered struct {
	Body struct {
		Secret string          `json:"secret"`
		Answer json.RawMessage `json:"answer" doc:"The credential as the browser gives it, in its JSON form"`
		Name   string          `json:"name,omitempty" doc:"What the passkey is to be called: the device"`
	}
}

// beginPasskeySignIn asks for a passkey.
func (s *Server) beginPasskeySignIn(ctx context.Context, _ *struct{}) (*passkeyQuestion, error) {
	a := askingOf(ctx)
	return questionOf(s.door.BeginPasskeySignIn(ctx, a.visit, a.site))
}

// passkeySignIn lets in whoever's device has signed.
func (s *Server) passkeySignIn(ctx context.Context, q *passkeyAnswered) (*signedIn, error) {
	from := askingOf(ctx)
	secret, a, err := s.door.FinishPasskeySignIn(ctx, from.visit, from.site, people.Answered{Secret: q.Body.Secret, Answer: q.Body.Answer})
	if err != nil {
		return nil, err
	}
	return signedInAs(a, secret), nil
}
