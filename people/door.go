package people

import (
	"context"
	"errors"
	"strconv"
	"time"

	"gelwright/store"
)

// Door lets people in, and changes who may come. It keeps nothing itself that another process would miss.
type Door struct {
	keeper Keeper
	now    func() time.Time
	hasher *Hasher
}

// NewDoor makes a door with a clock and the cost of a password.
func NewDoor(k Keeper, now func() time.Time, cost Cost) *Door { return &Door{k, now, NewHasher(cost)} }

// Keeper is what the door keeps people in.
func (d *Door) Keeper() Keeper { return d.keeper }

// stranger is what is said to all who are not let in, so that nobody learns which names there are. ASVS 6.3.8.
func stranger() error {
	return &Error{Kind: Stranger, Place: "sign in", Found: "name and password do not fit",
		Remedy: "Check both; who has forgotten the password asks the owner for an invitation"}
}

// How often it may be tried to sign in within triesWithin: with one name, and from one address, behind which a whole office may
// sit. Counted in the store, so that every process counts. ASVS 6.3.1.
const (
	triesWithin  = 15 * time.Minute
	mostByName   = 10
	mostByFrom   = 60
	mostSecrets  = 60 // of invitations and links that do not fit, from one address
	secretPrefix = "secret "
)

// mayTry counts a try and says why it is one too many.
func (d *Door) mayTry(ctx context.Context, v Visit, key string, most int) error {
	now := d.now()
	n, began, err := d.keeper.Try(ctx, HashOf(key), now, triesWithin)
	if err != nil || n <= most {
		return err
	}
	wait := began.Add(triesWithin).Sub(now)
	if n == most+1 {
		deed := v.deed(now, Actor{}, SignInStopped, "")
		if err := d.keeper.AddDeed(ctx, deed, 0); err != nil {
			return err
		}
	}
	return &Error{Kind: Often, Place: "sign in", Found: "it was tried too often", Wait: wait,
		Remedy: "Wait " + minutes(wait) + ", then try again; a passkey is let in meanwhile"}
}

// minutes is a time in words, in whole minutes and never too short.
func minutes(d time.Duration) string {
	n := int((d + time.Minute - 1) / time.Minute)
	if n == 1 {
		return "a minute"
	}
	return strconv.Itoa(n) + " minutes"
}

// SignIn lets in whoever has name and password, and gives the secret of a new session. A name that is nobody's costs as much.
func (d *Door) SignIn(ctx context.Context, v Visit, name, password string) (secret string, a Account, err error) {
	name = SignInName(name)
	if err := d.mayTry(ctx, v, "from "+v.From, mostByFrom); err != nil {
		return "", a, err
	}
	if err := d.mayTry(ctx, v, "name "+name, mostByName); err != nil {
		return "", a, err
	}
	a, err = d.keeper.AccountOf(ctx, name)
	if err != nil && store.KindOf(err) != store.Unknown {
		return "", a, err
	}
	known := err == nil && a.Lives()
	fits, err := d.hasher.Fits(ctx, password, a.Password)
	if err != nil {
		return "", Account{}, err
	}
	if !fits || !known {
		who := "a name that is nobody's"
		if a.ID != "" {
			who = a.Name
		}
		return "", Account{}, errors.Join(d.keeper.AddDeed(ctx, v.deed(d.now(), Actor{}, SignInRefused, who), 0), stranger())
	}
	if err := d.keeper.Forget(ctx, HashOf("name "+name)); err != nil {
		return "", Account{}, err
	}
	secret, err = d.letIn(ctx, v, &a, "password")
	return secret, a, err
}

// letIn begins a session. ASVS 7.2.4: each has a new secret.
func (d *Door) letIn(ctx context.Context, v Visit, a *Account, by string) (string, error) {
	now := d.now()
	p, secret := newPass(Session, now, sessionLasts)
	p.Account, p.Role, p.Name, p.From = a.ID, a.Role, v.Device, v.From
	return secret, d.keeper.AddPass(ctx, p, v.deed(now, a.Actor(), SignedIn, by))
}

// errEnded is said of a session, token or link that lets nobody in any more, or never did.
func errEnded(kind PassKind) error {
	e := &Error{Kind: Stranger, Place: string(kind), Found: "it has ended, or never was", Remedy: "Sign in anew"}
	switch kind {
	case Token:
		e.Remedy = "Make a new one on the page of your own account"
	case Link:
		e.Remedy = "Ask the firm for a new one"
	case Invitation:
		e.Remedy = "Ask the owner of the firm for a new one: each works once, for a week"
	case First:
		e.Remedy = "Start the server anew: it prints another link while nobody has an account"
	case Ceremony:
		e.Remedy = "Begin anew"
	}
	return e
}

// living is the pass of a secret, with its account, while both live. ASVS 7.2.1, 7.4.1, 7.4.2.
func (d *Door) living(ctx context.Context, kind PassKind, secret string) (Pass, Account, error) {
	p, a, err := d.keeper.PassOf(ctx, HashOf(secret))
	switch {
	case store.KindOf(err) == store.Unknown:
		return Pass{}, Account{}, errEnded(kind)
	case err != nil:
		return Pass{}, Account{}, err
	case p.Kind != kind || !p.Lives(d.now()) || p.Account != "" && !a.Lives():
		return Pass{}, Account{}, errEnded(kind)
	}
	return p, a, nil
}

// Who is the actor whom the secret of a session, token or link lets in. What an account may is asked anew each time: a role that
// was changed counts at once, and a token lends no more than its maker has.
func (d *Door) Who(ctx context.Context, v Visit, kind PassKind, secret string) (Actor, Pass, error) {
	p, a, err := d.living(ctx, kind, secret)
	if err != nil {
		return Actor{}, p, err
	}
	actor, first := a.Actor(), Deed{}
	switch kind {
	case Link:
		actor = Actor{Name: p.Name, Role: Customer, Job: p.Job}
		first = v.deed(d.now(), actor, LinkUsed, p.Name)
		first.Job = p.Job
	case Token:
		first = v.deed(d.now(), actor, TokenUsed, p.Name)
		if actor.Role.Covers(p.Role) {
			actor.Role = p.Role
		}
		actor.Name += " by token " + p.Name
	}
	if now := d.now(); p.Used.IsZero() || now.Sub(p.Used) >= useGrain {
		err = d.keeper.UsePass(ctx, p.ID, now, first)
	}
	return actor, p, err
}

// SignOut ends the session of a secret. ASVS 7.4.1.
func (d *Door) SignOut(ctx context.Context, v Visit, by Actor, session Pass) error {
	_, err := d.keeper.EndPasses(ctx, Passes{ID: session.ID, Kind: Session}, d.now(), v.deed(d.now(), by, SignedOut, ""))
	return err
}
