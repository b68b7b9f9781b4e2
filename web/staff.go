package web

import (
	"context"
	"time"

	"gelwright/people"
)

// PersonLine is a person of the firm as he is listed.
type PersonLine struct {
	ID       string      `json:"id"`
	SignIn   string      `json:"sign_in" doc:"The name to sign in with"`
	Name     string      `json:"name"`
	Role     people.Role `json:"role"`
	Made     time.Time   `json:"made"`
	Ended    *time.Time  `json:"ended,omitempty" doc:"When the account was ended"`
	Password bool        `json:"password" doc:"Whether a password was chosen yet"`
}

func personOf(a people.Account) PersonLine {
	p := PersonLine{ID: a.ID, SignIn: a.SignIn, Name: a.Name, Role: a.Role, Made: a.Made, Password: a.Password != ""}
	if !a.Lives() {
		p.Ended = &a.Ended
	}
	return p
}

type staffAnswer struct {
	Body struct {
		People []PersonLine `json:"people"`
	}
}

// staff lists the people of the firm, by name.
func (s *Server) staff(ctx context.Context, _ *struct{}) (*staffAnswer, error) {
	all, err := s.People.Accounts(ctx)
	if err != nil {
		return nil, err
	}
	out := &staffAnswer{}
	out.Body.People = []PersonLine{}
	for _, a := range all {
		out.Body.People = append(out.Body.People, personOf(a))
	}
	return out, nil
}

// PersonAsked is a question about a person.
type PersonAsked struct {
	ID string `path:"person" doc:"The id of a person, as the list has it"`
}

type newPersonAsked struct {
	Body struct {
		SignIn string      `json:"sign_in" doc:"The name to sign in with: letters, digits and . _ - @"`
		Name   string      `json:"name" doc:"How others call him; it stands beside what he does"`
		Role   people.Role `json:"role" doc:"owner, estimator or crew"`
	}
}

type invitationMade struct {
	Body struct {
		Person PersonLine `json:"person"`
		Secret string     `json:"secret" doc:"Stands behind the # of /invitation; told this once: only its hash is kept"`
		Ends   time.Time  `json:"ends"`
	}
}

// newPerson makes an account and an invitation to it.
func (s *Server) newPerson(ctx context.Context, q *newPersonAsked) (*invitationMade, error) {
	by := askingOf(ctx)
	a, err := s.door.Add(ctx, by.visit, by.actor, q.Body.SignIn, q.Body.Name, q.Body.Role)
	if err != nil {
		return nil, err
	}
	return s.invited(ctx, a.ID)
}

// invite makes an invitation anew, for who has not used the first or has forgotten the password.
func (s *Server) invite(ctx context.Context, q *PersonAsked) (*invitationMade, error) {
	return s.invited(ctx, q.ID)
}

func (s *Server) invited(ctx context.Context, id string) (*invitationMade, error) {
	by := askingOf(ctx)
	secret, ends, err := s.door.Invite(ctx, by.visit, by.actor, id)
	if err != nil {
		return nil, err
	}
	a, err := s.People.Account(ctx, id)
	if err != nil {
		return nil, err
	}
	out := &invitationMade{}
	out.Body.Person, out.Body.Secret, out.Body.Ends = personOf(a), secret, ends
	return out, nil
}

type roleAsked struct {
	PersonAsked
	Body struct {
		Role people.Role `json:"role" doc:"owner, estimator or crew"`
	}
}

// changeRole gives a person another role, and ends his sessions and tokens.
func (s *Server) changeRole(ctx context.Context, q *roleAsked) (*doneAnswer, error) {
	by := askingOf(ctx)
	return done(s.door.ChangeRole(ctx, by.visit, by.actor, q.ID, q.Body.Role))
}

// endPerson ends an account: nobody is let in by it any more.
func (s *Server) endPerson(ctx context.Context, q *PersonAsked) (*doneAnswer, error) {
	by := askingOf(ctx)
	return done(s.door.End(ctx, by.visit, by.actor, q.ID))
}

// sessionsOf lists the sessions of a person.
func (s *Server) sessionsOf(ctx context.Context, q *PersonAsked) (*passesAnswer, error) {
	if _, err := s.People.Account(ctx, q.ID); err != nil {
		return nil, err
	}
	return s.passes(ctx, people.Passes{Account: q.ID, Kind: people.Session})
}

type sessionOfAsked struct {
	PersonAsked
	Pass string `path:"pass" doc:"The id of a session, as the list has it"`
}

// endSessionOf ends a session of a person.
func (s *Server) endSessionOf(ctx context.Context, q *sessionOfAsked) (*doneAnswer, error) {
	a, err := s.People.Account(ctx, q.ID)
	if err != nil {
		return nil, err
	}
	by := askingOf(ctx)
	return done(s.door.EndPass(ctx, by.visit, by.actor, people.Passes{ID: q.Pass, Account: q.ID, Kind: people.Session}, a.Name))
}

type deedsAsked struct {
	Before int64 `query:"before" minimum:"0" doc:"Those with a smaller number; 0: from the newest"`
	Limit  int   `query:"limit" minimum:"1" maximum:"1000" default:"100"`
}

type deedsAnswer struct {
	Body struct {
		Deeds []people.Deed `json:"deeds"`
	}
}

// deeds lists who did what, the newest first.
func (s *Server) deeds(ctx context.Context, q *deedsAsked) (*deedsAnswer, error) {
	all, err := s.People.Deeds(ctx, q.Before, q.Limit)
	if err != nil {
		return nil, err
	}
	out := &deedsAnswer{}
	out.Body.Deeds = all
	return out, nil
}
