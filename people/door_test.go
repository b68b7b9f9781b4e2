package people_test

import (
	"errors"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"gelwright/people"
	"gelwright/store"
	"gelwright/store/sqlite"
)

// cheap is a cost that tests can pay often.
var cheap = people.Cost{MemoryKiB: 64, Passes: 1, Lanes: 1}

// porch is a door with a clock that tests set.
type porch struct {
	*testing.T
	*people.Door
	now    time.Time
	keeper people.Keeper
	owner  people.Account
	visit  people.Visit
}

func newPorch(t *testing.T) *porch {
	p := emptyPorch(t)
	p.owner = p.add("asha", people.Owner)
	return p
}

// emptyPorch is one where nobody has an account.
func emptyPorch(t *testing.T) *porch {
	db, err := sqlite.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	p := &porch{T: t, now: time.Date(2026, 5, 20, 7, 30, 0, 0, time.UTC), keeper: db, visit: people.Visit{From: "192.0.2.7", Device: "Firefox on Linux"}}
	p.Door = people.NewDoor(db, func() time.Time { return p.now }, cheap)
	return p
}

const goodWords = "wet felt on the north side"

// add makes an account with a password.
func (p *porch) add(signIn string, role people.Role) people.Account {
	p.Helper()
	a, err := p.Add(p.Context(), p.visit, people.ThisComputer, signIn, strings.ToUpper(signIn), role)
	p.must(err)
	secret, ends, err := p.Invite(p.Context(), p.visit, people.ThisComputer, a.ID)
	p.must(err)
	if !ends.Equal(p.now.Add(7 * 24 * time.Hour)) {
		p.Errorf("the invitation ends on %v", ends)
	}
	_, a, err = p.Accept(p.Context(), p.visit, secret, goodWords+" "+signIn)
	p.must(err)
	return a
}

func (p *porch) must(err error) {
	p.Helper()
	if err != nil {
		p.Fatal(err)
	}
}

// in signs somebody in.
func (p *porch) in(signIn string) string {
	p.Helper()
	secret, _, err := p.SignIn(p.Context(), p.visit, signIn, goodWords+" "+signIn)
	p.must(err)
	return secret
}

func (p *porch) kind(err error, want people.Kind) *people.Error {
	p.Helper()
	var e *people.Error
	if !errors.As(err, &e) || e.Kind != want || e.Place == "" || e.Found == "" || e.Remedy == "" {
		p.Fatalf("%v is of kind %d, want %d", err, people.KindOf(err), want)
	}
	return e
}

// who is the role that a secret has, empty where it lets nobody in.
func (p *porch) who(kind people.PassKind, secret string) people.Role {
	p.Helper()
	a, _, err := p.Who(p.Context(), p.visit, kind, secret)
	if err != nil {
		p.kind(err, people.Stranger)
	}
	return a.Role
}

func (p *porch) lets(kind people.PassKind, secret string, want people.Role) {
	p.Helper()
	if got := p.who(kind, secret); got != want {
		p.Errorf("a %s lets in as %q, want %q", kind, got, want)
	}
}

// deeds are the kinds of deeds, the newest first.
func (p *porch) deeds() []people.Deed {
	p.Helper()
	all, err := p.keeper.Deeds(p.Context(), 0, people.MostDeeds)
	p.must(err)
	return all
}

// ASVS 6.3.2, 6.4.1: the first owner is made by whoever was told the link, once, within an hour, while nobody has an account.
func TestTheFirstOwnerIsMadeByALink(t *testing.T) {
	p := emptyPorch(t)
	link := func() string {
		t.Helper()
		secret, ends, err := p.FirstLink(t.Context(), p.visit)
		p.must(err)
		if secret == "" || !ends.Equal(p.now.Add(time.Hour)) {
			t.Errorf("the link ends on %v", ends)
		}
		return secret
	}
	make := func(secret string) error {
		_, _, err := p.MakeFirst(t.Context(), p.visit, secret, "Asha", "Asha North", goodWords)
		return err
	}
	older, late := link(), link()
	p.kind(make(older), people.Stranger) // a newer one stands in its place
	p.kind(make(""), people.Stranger)
	p.now = p.now.Add(time.Hour)
	p.kind(make(late), people.Stranger)
	secret := link()
	if _, err := p.Invitation(t.Context(), p.visit, secret); people.KindOf(err) != people.Stranger {
		t.Errorf("it is taken for an invitation: %v", err)
	}
	for what, c := range map[string][3]string{"name": {"asha", "", goodWords}, "sign-in name": {"a b", "Asha", goodWords}, "password": {"asha", "Asha", "short"}} {
		_, _, err := p.MakeFirst(t.Context(), p.visit, secret, c[0], c[1], c[2])
		if store.KindOf(err) != store.Refused {
			t.Errorf("%s: %v", what, err)
		}
	}
	session, a, err := p.MakeFirst(t.Context(), p.visit, secret, "Asha", "Asha North", goodWords)
	p.must(err)
	if a.Role != people.Owner || a.SignIn != "asha" || a.Name != "Asha North" {
		t.Errorf("made was %+v", a)
	}
	p.lets(people.Session, session, people.Owner)
	if _, _, err := p.SignIn(t.Context(), p.visit, "asha", goodWords); err != nil {
		t.Errorf("she does not come in again: %v", err)
	}
	p.kind(make(secret), people.Stranger)
	if secret, _, err := p.FirstLink(t.Context(), p.visit); secret != "" || err != nil {
		t.Errorf("with an owner another link is made (%v)", err)
	}
	all := p.deeds()
	if last := all[len(all)-1]; last.Kind != people.AccountMade || last.ByName != "Asha North" || last.From != p.visit.From {
		t.Errorf("the deeds begin with %+v", last)
	}
}

// A link that was not used makes nobody an owner once somebody else was made one.
func TestTheFirstLinkEndsWithTheFirstAccount(t *testing.T) {
	p := emptyPorch(t)
	secret, _, err := p.FirstLink(t.Context(), p.visit)
	p.must(err)
	p.add("bo", people.Owner)
	_, _, err = p.MakeFirst(t.Context(), p.visit, secret, "mallory", "Mallory", goodWords)
	p.kind(err, people.Stranger)
	for range 60 {
		_, _, err = p.MakeFirst(t.Context(), p.visit, secret, "mallory", "Mallory", goodWords)
	}
	p.kind(err, people.Often)
}

// Of several who open one link at once, one is let in.
func TestOneFirstOwnerAtOnce(t *testing.T) {
	p := emptyPorch(t)
	secret, _, err := p.FirstLink(t.Context(), p.visit)
	p.must(err)
	var made atomic.Int32
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			name := "asha" + strconv.Itoa(i)
			if _, _, err := p.MakeFirst(t.Context(), p.visit, secret, name, name, goodWords); err == nil {
				made.Add(1)
			} else if people.KindOf(err) != people.Stranger {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if n := made.Load(); n != 1 {
		t.Errorf("%d owners were made", n)
	}
}

// ASVS 6.3.8: what is said tells nobody which names there are.
func TestWhoIsNotLetIn(t *testing.T) {
	p := newPorch(t)
	bo := p.add("bo", people.Crew)
	p.must(p.End(t.Context(), p.visit, p.owner.Actor(), bo.ID))
	invited, err := p.Add(t.Context(), p.visit, p.owner.Actor(), "cem", "Cem", people.Crew)
	p.must(err)
	said := map[string]bool{}
	for _, c := range [][2]string{{"asha", "wrong words here"}, {"nobody", goodWords}, {"bo", goodWords + " bo"}, {"cem", ""}, {"asha", ""},
		{"asha", strings.ToUpper(goodWords + " asha")}, {"asha", goodWords + " asha "}, {"", ""}} {
		_, a, err := p.SignIn(t.Context(), p.visit, c[0], c[1])
		if a.ID != "" {
			t.Errorf("%q was told of %+v", c, a)
		}
		said[p.kind(err, people.Stranger).Error()] = true
	}
	if len(said) != 1 {
		t.Errorf("it is said in %d ways: %v", len(said), said)
	}
	// A name may be typed in capitals, a password not.
	if _, a, err := p.SignIn(t.Context(), p.visit, " ASHA ", goodWords+" asha"); err != nil || a.ID != p.owner.ID {
		t.Errorf("asha is %+v, %v", a, err)
	}
	if invited.Password != "" {
		t.Error("an account begins with a password")
	}
}

// ASVS 6.3.1: who guesses is stopped for a while, by name and by address; the store counts, so that all processes do.
func TestGuessesAreStopped(t *testing.T) {
	p := newPorch(t)
	try := func(from, name, password string) error {
		_, _, err := p.SignIn(t.Context(), people.Visit{From: from}, name, password)
		return err
	}
	for range 10 {
		p.kind(try("192.0.2.8", "asha", "wrong words here"), people.Stranger)
		p.now = p.now.Add(time.Second)
	}
	e := p.kind(try("192.0.2.9", "asha", goodWords+" asha"), people.Often)
	if e.Wait != 15*time.Minute-10*time.Second || !strings.Contains(e.Remedy, "Wait 15 minutes, then") {
		t.Errorf("it says to wait %v: %s", e.Wait, e.Remedy)
	}
	p.now = p.now.Add(14 * time.Minute)
	if e := p.kind(try("192.0.2.9", "asha", goodWords+" asha"), people.Often); !strings.Contains(e.Remedy, "Wait a minute, then") {
		t.Errorf("it says: %s", e.Remedy)
	}
	p.now = p.now.Add(-14 * time.Minute)
	other := people.NewDoor(p.keeper, func() time.Time { return p.now }, cheap)
	if _, _, err := other.SignIn(t.Context(), p.visit, "asha", goodWords+" asha"); people.KindOf(err) != people.Often {
		t.Errorf("another process lets guess on: %v", err)
	}
	p.now = p.now.Add(15*time.Minute - 10*time.Second)
	p.must(try("192.0.2.9", "asha", goodWords+" asha"))
	for i := range 9 {
		p.kind(try("192.0.2.9", "asha", "wrong words here"), people.Stranger)
		if i == 8 { // let in, the tries are forgotten
			p.must(try("192.0.2.9", "asha", goodWords+" asha"))
			p.kind(try("192.0.2.9", "asha", "wrong words here"), people.Stranger)
			p.must(try("192.0.2.9", "asha", goodWords+" asha"))
		}
	}
	p.now = p.now.Add(time.Hour)
	for i := range 60 {
		p.kind(try("192.0.2.66", "name"+string(rune('a'+i%26))+string(rune('a'+i/26)), "wrong words here"), people.Stranger)
	}
	p.kind(try("192.0.2.66", "asha", goodWords+" asha"), people.Often)
	p.must(try("192.0.2.67", "asha", goodWords+" asha"))
	stopped := 0
	for _, d := range p.deeds() {
		if d.Kind == people.SignInStopped {
			stopped++
		}
	}
	if stopped != 2 {
		t.Errorf("it is kept %d times that guessing was stopped, want 2: once a row", stopped)
	}
}

// ASVS 7.3.1, 7.3.2: a session ends when it lay still, and in any case.
func TestSessionsEndByThemselves(t *testing.T) {
	p := newPorch(t)
	const day = 24 * time.Hour
	still := p.in("asha")
	p.lets(people.Session, still, people.Owner)
	p.now = p.now.Add(7*day - time.Second)
	p.lets(people.Session, still, people.Owner)
	p.now = p.now.Add(7 * day)
	p.lets(people.Session, still, "")
	begun := p.now
	used := p.in("asha")
	for p.now.Before(begun.Add(30*day - 6*day)) {
		p.now = p.now.Add(6 * day)
		p.lets(people.Session, used, people.Owner)
	}
	p.now = begun.Add(30*day - time.Second)
	p.lets(people.Session, used, people.Owner)
	p.now = begun.Add(30 * day)
	p.lets(people.Session, used, "")
}

// ASVS 7.4.1, 7.4.2, 7.4.3: sessions end at once with sign-out, another password, another role, the account's end; one's own can be
// ended one by one.
func TestSessionsAreEnded(t *testing.T) {
	p := newPorch(t)
	bo := p.add("bo", people.Estimator)
	by := p.owner.Actor()
	one, two := p.in("bo"), p.in("bo")
	_, pass, err := p.Who(t.Context(), p.visit, people.Session, one)
	p.must(err)
	p.must(p.SignOut(t.Context(), p.visit, bo.Actor(), pass))
	p.lets(people.Session, one, "")
	p.lets(people.Session, two, people.Estimator)
	list, err := p.Living(t.Context(), people.Passes{Account: bo.ID, Kind: people.Session})
	p.must(err)
	if len(list) != 2 || list[0].Name != "Firefox on Linux" || list[0].From != "192.0.2.7" { // the one of the invitation lives too
		t.Errorf("sessions of bo: %+v", list)
	}
	p.must(p.EndPass(t.Context(), p.visit, by, people.Passes{ID: list[1].ID, Account: bo.ID, Kind: people.Session}, "Bo"))
	if err := p.EndPass(t.Context(), p.visit, by, people.Passes{ID: list[1].ID, Account: bo.ID, Kind: people.Session}, ""); store.KindOf(err) != store.Unknown {
		t.Errorf("ended again: %v", err)
	}
	token, _, err := p.MakeToken(t.Context(), p.visit, bo.Actor(), "office clock", people.Crew, p.now.Add(time.Hour))
	p.must(err)
	p.lets(people.Token, token, people.Crew)
	three, err := p.ChangePassword(t.Context(), p.visit, bo.Actor(), goodWords+" bo", "quite another row of words")
	p.must(err)
	p.lets(people.Session, two, "")
	p.lets(people.Token, token, "")
	p.lets(people.Session, three, people.Estimator)
	p.must(p.ChangeRole(t.Context(), p.visit, by, bo.ID, people.Crew))
	p.lets(people.Session, three, "")
	four, _, err := p.SignIn(t.Context(), p.visit, "bo", "quite another row of words")
	p.must(err)
	p.lets(people.Session, four, people.Crew)
	p.must(p.End(t.Context(), p.visit, by, bo.ID))
	p.lets(people.Session, four, "")
	if err := p.ChangeRole(t.Context(), p.visit, by, bo.ID, people.Owner); store.KindOf(err) != store.Refused {
		t.Errorf("a role for who has ended: %v", err)
	}
	if _, _, err := p.Invite(t.Context(), p.visit, by, bo.ID); store.KindOf(err) != store.Refused {
		t.Errorf("an invitation for who has ended: %v", err)
	}
	if err := p.ChangeRole(t.Context(), p.visit, by, bo.ID, people.Customer); store.KindOf(err) != store.Refused {
		t.Errorf("an account for a customer: %v", err)
	}
	if err := p.End(t.Context(), p.visit, by, p.owner.ID); store.KindOf(err) != store.Refused {
		t.Errorf("the only owner ended: %v", err)
	}
}

// ASVS 6.2.2, 6.2.3: a password is changed by who knows the old one.
func TestThePasswordIsChangedByWhoKnowsIt(t *testing.T) {
	p := newPorch(t)
	by := p.owner.Actor()
	if _, err := p.ChangePassword(t.Context(), p.visit, by, "not the old one", "quite another row of words"); store.KindOf(err) != store.Refused {
		t.Errorf("without the old one: %v", err)
	}
	if _, err := p.ChangePassword(t.Context(), p.visit, by, goodWords+" asha", "short"); store.KindOf(err) != store.Refused {
		t.Errorf("to a short one: %v", err)
	}
	if _, err := p.ChangePassword(t.Context(), p.visit, people.ThisComputer, "", goodWords); store.KindOf(err) != store.Unknown {
		t.Errorf("of this computer: %v", err)
	}
	p.in("asha")
	for range 9 {
		if _, err := p.ChangePassword(t.Context(), p.visit, by, "not the old one", goodWords); store.KindOf(err) != store.Refused {
			t.Errorf("a guess: %v", err)
		}
	}
	_, err := p.ChangePassword(t.Context(), p.visit, by, "not the old one", goodWords)
	if store.KindOf(err) == store.Refused {
		_, err = p.ChangePassword(t.Context(), p.visit, by, "not the old one", goodWords)
	}
	p.kind(err, people.Often)
}

// ASVS 6.4.1: an invitation works once, for a week, and a newer one takes its place.
func TestInvitationsWorkOnce(t *testing.T) {
	p := newPorch(t)
	by := p.owner.Actor()
	a, err := p.Add(t.Context(), p.visit, by, "Bo", "Bo", people.Crew)
	p.must(err)
	if a.SignIn != "bo" {
		t.Errorf("the sign-in name is %q", a.SignIn)
	}
	first, _, err := p.Invite(t.Context(), p.visit, by, a.ID)
	p.must(err)
	second, _, err := p.Invite(t.Context(), p.visit, by, a.ID)
	p.must(err)
	if len(second) != 43 { // 256 bits, six a letter: ASVS 7.2.3
		t.Errorf("the secret has %d letters", len(second))
	}
	_, _, err = p.Accept(t.Context(), p.visit, first, goodWords)
	p.kind(err, people.Stranger)
	if _, _, err = p.Accept(t.Context(), p.visit, second, "short"); store.KindOf(err) != store.Refused {
		t.Errorf("a short password: %v", err)
	}
	if x, err := p.Invitation(t.Context(), p.visit, second); err != nil || x.ID != a.ID {
		t.Errorf("it invites to %+v, %v", x, err)
	}
	session, _, err := p.Accept(t.Context(), p.visit, second, goodWords)
	p.must(err)
	p.lets(people.Session, session, people.Crew)
	_, _, err = p.Accept(t.Context(), p.visit, second, goodWords)
	p.kind(err, people.Stranger)
	late, _, err := p.Invite(t.Context(), p.visit, by, a.ID)
	p.must(err)
	p.lets(people.Session, session, people.Crew) // it is no end of what he has
	p.now = p.now.Add(7 * 24 * time.Hour)
	_, _, err = p.Accept(t.Context(), p.visit, late, goodWords)
	p.kind(err, people.Stranger)
	p.lets(people.Session, second, "")
	// Who guesses secrets is stopped too.
	for range 100 {
		if _, err = p.Invitation(t.Context(), p.visit, "guess"); people.KindOf(err) == people.Often {
			break
		}
	}
	p.kind(err, people.Often)
}

func TestTokensLendNoMoreThanTheirMakerHas(t *testing.T) {
	p := newPorch(t)
	bo := p.add("bo", people.Estimator)
	_, _, err := p.MakeToken(t.Context(), p.visit, bo.Actor(), "clock", people.Owner, p.now.Add(time.Hour))
	p.kind(err, people.Forbidden)
	for _, ends := range []time.Duration{-time.Second, 0, 367 * 24 * time.Hour} {
		if _, _, err := p.MakeToken(t.Context(), p.visit, bo.Actor(), "clock", people.Crew, p.now.Add(ends)); store.KindOf(err) != store.Refused {
			t.Errorf("a token for %v: %v", ends, err)
		}
	}
	if _, _, err := p.MakeToken(t.Context(), p.visit, bo.Actor(), " ", people.Crew, p.now.Add(time.Hour)); store.KindOf(err) != store.Refused {
		t.Errorf("a token without a name: %v", err)
	}
	secret, pass, err := p.MakeToken(t.Context(), p.visit, bo.Actor(), "clock", people.Crew, p.now.Add(time.Hour))
	p.must(err)
	if strings.Contains(pass.Hash+pass.ID+pass.Note, secret) {
		t.Error("the secret is kept")
	}
	for range 2 {
		a, _, err := p.Who(t.Context(), p.visit, people.Token, secret)
		p.must(err)
		if a.Role != people.Crew || a.ID != bo.ID || a.Name != "BO by token clock" {
			t.Errorf("by the token asks %+v", a)
		}
	}
	used := 0
	for _, d := range p.deeds() {
		if d.Kind == people.TokenUsed {
			used++
		}
	}
	if used != 1 {
		t.Errorf("its first use is kept %d times", used)
	}
	p.lets(people.Session, secret, "")
	p.lets(people.Link, secret, "")
	p.now = p.now.Add(time.Hour)
	p.lets(people.Token, secret, "")
}

func TestACustomersLinkShowsOneJobForAWhile(t *testing.T) {
	p := newPorch(t)
	secret, pass, err := p.MakeLink(t.Context(), p.visit, p.owner.Actor(), "j1", "Ms Example", p.now.Add(time.Hour))
	p.must(err)
	a, _, err := p.Who(t.Context(), p.visit, people.Link, secret)
	p.must(err)
	if a != (people.Actor{Name: "Ms Example", Role: people.Customer, Job: "j1"}) {
		t.Errorf("by the link asks %+v", a)
	}
	if _, _, err := p.MakeLink(t.Context(), p.visit, p.owner.Actor(), "j1", "x", p.now.Add(3*366*24*time.Hour)); store.KindOf(err) != store.Refused {
		t.Errorf("a link for three years: %v", err)
	}
	p.must(p.EndPass(t.Context(), p.visit, p.owner.Actor(), people.Passes{ID: pass.ID, Job: "j1", Kind: people.Link}, "Ms Example"))
	p.lets(people.Link, secret, "")
	kinds := []people.DeedKind{people.LinkEnded, people.LinkUsed, people.LinkMade}
	for i, d := range p.deeds()[:3] {
		if d.Kind != kinds[i] || d.Job != "j1" {
			t.Errorf("deed %d is %+v, want %q", i, d, kinds[i])
		}
	}
}

// ASVS 16.2.5: no secret and no password is in the deeds, nor a name that is nobody's and may be a password.
func TestDeedsHoldNoSecrets(t *testing.T) {
	p := newPorch(t)
	secrets := []string{goodWords + " asha", p.in("asha"), "a password in the wrong field"}
	_, _, err := p.SignIn(t.Context(), p.visit, secrets[2], "x")
	p.kind(err, people.Stranger)
	token, _, err := p.MakeToken(t.Context(), p.visit, p.owner.Actor(), "clock", people.Crew, p.now.Add(time.Hour))
	p.must(err)
	secrets = append(secrets, token, people.HashOf(token))
	kinds := map[people.DeedKind]bool{}
	for _, d := range p.deeds() {
		kinds[d.Kind] = true
		for _, s := range secrets {
			if strings.Contains(d.About+d.ByName+d.Device+d.By+d.From, s) {
				t.Errorf("%+v holds a secret", d)
			}
		}
		if d.From != "192.0.2.7" || d.Device != "Firefox on Linux" || d.When.IsZero() {
			t.Errorf("%+v does not say when and from where", d)
		}
	}
	for _, k := range []people.DeedKind{people.AccountMade, people.Invited, people.PasswordChanged, people.SignedIn, people.SignInRefused, people.TokenMade} {
		if !kinds[k] {
			t.Errorf("nothing says %q", k)
		}
	}
}
