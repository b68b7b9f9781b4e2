package storetest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gelwright/people"
	"gelwright/store"
)

// keeping is a store that keeps people too.
type keeping interface {
	store.Store
	people.Keeper
}

// staff is a test with a store that keeps people, opened twice.
type staff struct {
	*hand
	k, second people.Keeper
	made      int
}

// ExercisePeople runs the contract of people.Keeper on an implementation whose store keeps people too.
func ExercisePeople(t *testing.T, open Open) {
	for _, c := range []struct {
		name string
		test func(*testing.T, *staff)
	}{
		{"Accounts", testAccounts}, {"OneOwnerStays", testOneOwnerStays}, {"ChangesEndPasses", testChangesEndPasses}, {"Passes", testPasses},
		{"UsedFirst", testUsedFirst}, {"TakenOnce", testTakenOnce}, {"Passkeys", testPasskeys}, {"Tries", testTries}, {"Shown", testShown},
		{"Deeds", testDeeds}, {"PeopleAtOnce", testPeopleAtOnce},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, staffOf(t, open)) })
	}
}

// PeopleAtOnce runs the part of the contract of people.Keeper that changes at once, for the race detector.
func PeopleAtOnce(t *testing.T, open Open) { testPeopleAtOnce(t, staffOf(t, open)) }

func staffOf(t *testing.T, open Open) *staff {
	h := opened(t, open)
	return &staff{hand: h, k: h.s.(keeping), second: h.again().(keeping)}
}

// account keeps an account.
func (o *staff) account(signIn string, role people.Role) people.Account {
	o.Helper()
	a := people.Account{ID: string(store.NewID()), SignIn: signIn, Name: strings.ToUpper(signIn), Role: role, Made: Day, Password: "$hash"}
	o.must(o.k.AddAccount(o.ctx, a, o.deed(people.AccountMade, signIn)))
	return a
}

func (o *staff) deed(kind people.DeedKind, about string) people.Deed {
	return people.Deed{When: Day, Kind: kind, By: "1", ByName: "Asha", About: about, From: "192.0.2.7", Device: "Firefox on Linux"}
}

// pass keeps a pass that a test may change.
func (o *staff) pass(kind people.PassKind, account string, change func(*people.Pass)) people.Pass {
	o.Helper()
	o.made++
	p := people.Pass{ID: string(store.NewID()), Hash: people.HashOf(fmt.Sprint("secret ", o.made)), Kind: kind, Account: account,
		Role: people.Crew, Name: "Firefox on Linux", From: "192.0.2.7",
		Made: Day.Add(time.Duration(o.made) * time.Minute), Ends: Day.Add(24 * time.Hour)}
	if change != nil {
		change(&p)
	}
	o.must(o.k.AddPass(o.ctx, p, people.Deed{}))
	return p
}

// deeds are those of a kind, the newest first.
func (o *staff) deeds(kind people.DeedKind) []people.Deed {
	o.Helper()
	all, err := o.second.Deeds(o.ctx, 0, people.MostDeeds)
	o.must(err)
	var out []people.Deed
	for _, d := range all {
		if d.Kind == kind {
			out = append(out, d)
		}
	}
	return out
}

func (o *staff) count(kind people.DeedKind, want int) {
	o.Helper()
	if got := o.deeds(kind); len(got) != want {
		o.Errorf("%d deeds of %q, want %d: %+v", len(got), kind, want, got)
	}
}

func testAccounts(t *testing.T, o *staff) {
	a, b := o.account("zoe", people.Owner), o.account("asha", people.Crew)
	for name, got := range map[string]func() (people.Account, error){
		"by id":   func() (people.Account, error) { return o.second.Account(o.ctx, a.ID) },
		"by name": func() (people.Account, error) { return o.second.AccountOf(o.ctx, "zoe") },
	} {
		x, err := got()
		o.must(err)
		if d := cmp.Diff(a, x); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
	all, err := o.second.Accounts(o.ctx)
	o.must(err)
	if d := cmp.Diff([]people.Account{b, a}, all); d != "" {
		t.Errorf("list (-want +got):\n%s", d)
	}
	other := people.Account{ID: string(store.NewID()), SignIn: "zoe", Name: "Other", Role: people.Crew, Made: Day}
	o.refuses(o.second.AddAccount(o.ctx, other, o.deed(people.AccountMade, "")), store.Clash, "zoe is taken")
	other.SignIn = "Zoe"
	o.refuses(o.k.AddAccount(o.ctx, other, o.deed(people.AccountMade, "")), store.Refused, "cannot be one")
	o.count(people.AccountMade, 2)
	for _, id := range []string{"", "x", string(store.NewID())} {
		_, err := o.k.Account(o.ctx, id)
		o.refuses(err, store.Unknown, "no such account")
		_, err = o.k.AccountOf(o.ctx, id)
		o.refuses(err, store.Unknown, "no such account")
		_, err = o.k.ChangeAccount(o.ctx, id, people.Change{When: Day, Do: func(*people.Account) error { return nil }})
		o.refuses(err, store.Unknown, "no such account")
	}
}

// change changes an account's role, or ends it.
func (o *staff) change(k people.Keeper, id string, role people.Role, ended time.Time) error {
	_, err := k.ChangeAccount(o.ctx, id, people.Change{When: Day.Add(time.Hour), Deed: o.deed(people.RoleChanged, string(role)),
		Do: func(a *people.Account) error {
			a.Role, a.Ended = role, ended
			return nil
		}})
	return err
}

func testOneOwnerStays(t *testing.T, o *staff) {
	a, b := o.account("asha", people.Owner), o.account("bo", people.Crew)
	o.refuses(o.change(o.k, a.ID, people.Estimator, time.Time{}), store.Refused, "only owner")
	o.refuses(o.change(o.k, a.ID, people.Owner, Day), store.Refused, "only owner")
	o.must(o.change(o.k, b.ID, people.Owner, time.Time{}))
	o.must(o.change(o.second, a.ID, people.Owner, Day))
	o.refuses(o.change(o.k, b.ID, people.Owner, Day), store.Refused, "only owner")
	o.count(people.RoleChanged, 2)
	if x, err := o.k.Account(o.ctx, a.ID); err != nil || !x.Ended.Equal(Day) || x.Lives() {
		t.Errorf("ended it is %+v, %v", x, err)
	}
	// The name of one that has ended is not given out again.
	again := people.Account{ID: string(store.NewID()), SignIn: "asha", Name: "Asha", Role: people.Crew, Made: Day}
	o.refuses(o.k.AddAccount(o.ctx, again, people.Deed{}), store.Clash, "taken")
}

func testChangesEndPasses(t *testing.T, o *staff) {
	o.account("asha", people.Owner)
	b, c := o.account("bo", people.Crew), o.account("cem", people.Crew)
	var ended []people.Pass
	for _, kind := range []people.PassKind{people.Session, people.Token, people.Invitation, people.Ceremony} {
		ended = append(ended, o.pass(kind, b.ID, nil))
	}
	stays := o.pass(people.Session, c.ID, nil)
	broken := errors.New("not done")
	_, err := o.k.ChangeAccount(o.ctx, b.ID, people.Change{When: Day, Do: func(*people.Account) error { return broken }})
	if !errors.Is(err, broken) {
		t.Errorf("the change's own error is %v", err)
	}
	invite := ended[2]
	set := func(hash string) error {
		x, err := o.k.ChangeAccount(o.ctx, b.ID, people.Change{When: Day.Add(time.Hour), Invitation: hash,
			Deed: o.deed(people.PasswordChanged, ""),
			Do: func(a *people.Account) error {
				a.Password, a.SignIn, a.ID = "$other", "not changed", "nor this"
				return nil
			}})
		if err == nil && (x.Password != "$other" || x.SignIn != "bo" || x.ID != b.ID) {
			t.Errorf("changed it is %+v", x)
		}
		return err
	}
	for _, hash := range []string{ended[0].Hash, people.HashOf("none"), o.pass(people.Invitation, c.ID, nil).Hash,
		o.pass(people.Invitation, b.ID, func(p *people.Pass) { p.Ends = Day.Add(time.Hour) }).Hash} {
		o.refuses(set(hash), store.Unknown, "no such invitation")
	}
	o.must(set(invite.Hash))
	o.refuses(set(invite.Hash), store.Unknown, "no such invitation")
	o.count(people.PasswordChanged, 1)
	for _, p := range ended {
		if x, _, err := o.second.PassOf(o.ctx, p.Hash); err != nil || !x.Ended.Equal(Day.Add(time.Hour)) || x.Lives(Day) {
			t.Errorf("%s is %+v, %v", p.Kind, x, err)
		}
	}
	if x, _, err := o.second.PassOf(o.ctx, stays.Hash); err != nil || !x.Lives(Day) {
		t.Errorf("another's session is %+v, %v", x, err)
	}
}

func testPasses(t *testing.T, o *staff) {
	a := o.account("asha", people.Owner)
	first := o.pass(people.Session, a.ID, nil)
	second := o.pass(people.Session, a.ID, func(p *people.Pass) { p.Note, p.Used = `{"x": 1}`, Day.Add(time.Minute) })
	token := o.pass(people.Token, a.ID, nil)
	link := o.pass(people.Link, "", func(p *people.Pass) { p.Job = "j1" })
	got, of, err := o.second.PassOf(o.ctx, second.Hash)
	o.must(err)
	if d := cmp.Diff(second, got); d != "" || of.ID != a.ID || of.Password != a.Password {
		t.Errorf("pass of %+v (-want +got):\n%s", of, d)
	}
	if _, of, err := o.second.PassOf(o.ctx, link.Hash); err != nil || of.ID != "" {
		t.Errorf("a link is of %+v, %v", of, err)
	}
	_, _, err = o.k.PassOf(o.ctx, people.HashOf("none"))
	o.refuses(err, store.Unknown, "no such pass")
	for _, c := range []struct {
		of   people.Passes
		want []people.Pass
	}{
		{people.Passes{Account: a.ID}, []people.Pass{token, second, first}},
		{people.Passes{Account: a.ID, Kind: people.Session}, []people.Pass{second, first}},
		{people.Passes{Account: a.ID, Kind: people.Session, But: second.ID}, []people.Pass{first}},
		{people.Passes{Job: "j1"}, []people.Pass{link}}, {people.Passes{Job: "j2"}, []people.Pass{}},
		{people.Passes{ID: first.ID, Account: "another"}, []people.Pass{}},
	} {
		got, err := o.second.Passes(o.ctx, c.of)
		o.must(err)
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%+v (-want +got):\n%s", c.of, d)
		}
	}
	for _, none := range []people.Passes{{}, {But: first.ID}} {
		_, err := o.k.EndPasses(o.ctx, none, Day, people.Deed{})
		o.refuses(err, store.Unknown, "no such pass")
		_, err = o.k.Passes(o.ctx, none)
		o.refuses(err, store.Unknown, "no such pass")
	}
	for i, want := range []int{1, 0} {
		n, err := o.k.EndPasses(o.ctx, people.Passes{Account: a.ID, Kind: people.Session, But: second.ID}, Day, o.deed(people.SessionEnded, ""))
		if err != nil || n != want {
			t.Errorf("ended %d at try %d, want %d, %v", n, i+1, want, err)
		}
	}
	o.count(people.SessionEnded, 1)
	if got, err := o.second.Passes(o.ctx, people.Passes{Account: a.ID}); err != nil || len(got) != 2 {
		t.Errorf("%d are left, want 2, %v", len(got), err)
	}
}

func testUsedFirst(t *testing.T, o *staff) {
	a := o.account("asha", people.Owner)
	p := o.pass(people.Token, a.ID, nil)
	for i, min := range []int{5, 9, 7} {
		o.must(o.k.UsePass(o.ctx, p.ID, Day.Add(time.Duration(min)*time.Minute), o.deed(people.TokenUsed, "")))
		o.count(people.TokenUsed, 1)
		want := Day.Add(time.Duration(max(min, []int{0, 5, 9}[i])) * time.Minute)
		if x, _, err := o.second.PassOf(o.ctx, p.Hash); err != nil || !x.Used.Equal(want) {
			t.Errorf("used last at %v, want %v, %v", x.Used, want, err)
		}
	}
}

func testTakenOnce(t *testing.T, o *staff) {
	p := o.pass(people.Ceremony, "", func(p *people.Pass) { p.Note = "remember" })
	won := make(chan string, 8)
	var all sync.WaitGroup
	for i := range 8 {
		k := []people.Keeper{o.k, o.second}[i%2]
		all.Go(func() {
			x, err := k.TakePass(o.ctx, p.Hash, Day)
			switch {
			case err == nil:
				won <- x.Note
			case store.KindOf(err) != store.Unknown:
				won <- err.Error()
			}
		})
	}
	all.Wait()
	close(won)
	var got []string
	for x := range won {
		got = append(got, x)
	}
	if d := cmp.Diff([]string{"remember"}, got); d != "" {
		t.Errorf("taken by (-want +got):\n%s", d)
	}
	// Ceremonies that are long past are swept out when another begins.
	o.pass(people.Ceremony, "", func(p *people.Pass) { p.Made = p.Ends.Add(25 * time.Hour) })
	_, _, err := o.k.PassOf(o.ctx, p.Hash)
	o.refuses(err, store.Unknown, "no such pass")
}

func testPasskeys(t *testing.T, o *staff) {
	a, b := o.account("asha", people.Owner), o.account("bo", people.Crew)
	key := people.Passkey{ID: "k1", Account: a.ID, Name: "phone", Credential: `{"id": 1}`, Made: Day}
	o.must(o.k.AddPasskey(o.ctx, key, o.deed(people.PasskeyAdded, "phone")))
	other := key
	other.Account = b.ID
	o.refuses(o.k.AddPasskey(o.ctx, other, o.deed(people.PasskeyAdded, "")), store.Clash, "known already")
	later := people.Passkey{ID: "k2", Account: a.ID, Name: "laptop", Credential: "{}", Made: Day.Add(time.Hour)}
	o.must(o.k.AddPasskey(o.ctx, later, people.Deed{}))
	key.Credential, key.Used = `{"id": 2}`, Day.Add(time.Minute)
	o.must(o.k.UsePasskey(o.ctx, key))
	o.refuses(o.k.UsePasskey(o.ctx, other), store.Unknown, "no such passkey")
	got, err := o.second.Passkeys(o.ctx, a.ID)
	o.must(err)
	if d := cmp.Diff([]people.Passkey{later, key}, got); d != "" {
		t.Errorf("passkeys (-want +got):\n%s", d)
	}
	o.refuses(o.k.EndPasskey(o.ctx, b.ID, "k1", Day, o.deed(people.PasskeyEnded, "")), store.Unknown, "no such passkey")
	o.must(o.k.EndPasskey(o.ctx, a.ID, "k1", Day, o.deed(people.PasskeyEnded, "")))
	o.refuses(o.k.EndPasskey(o.ctx, a.ID, "k1", Day, o.deed(people.PasskeyEnded, "")), store.Unknown, "no such passkey")
	o.refuses(o.k.UsePasskey(o.ctx, key), store.Unknown, "no such passkey")
	o.count(people.PasskeyAdded, 1)
	o.count(people.PasskeyEnded, 1)
	if got, err := o.second.Passkeys(o.ctx, a.ID); err != nil || len(got) != 1 {
		t.Errorf("%d are left, %v", len(got), err)
	}
}

func testTries(t *testing.T, o *staff) {
	const within = 15 * time.Minute
	for i, c := range []struct {
		min  int
		n    int
		from int
	}{{0, 1, 0}, {3, 2, 0}, {14, 3, 0}, {15, 1, 15}, {16, 2, 15}, {40, 1, 40}} {
		k := []people.Keeper{o.k, o.second}[i%2]
		n, began, err := k.Try(o.ctx, "asha", Day.Add(time.Duration(c.min)*time.Minute), within)
		o.must(err)
		if want := Day.Add(time.Duration(c.from) * time.Minute); n != c.n || !began.Equal(want) {
			t.Errorf("after %d minutes: try %d of those since %v, want %d since %v", c.min, n, began, c.n, want)
		}
	}
	if n, _, err := o.k.Try(o.ctx, "bo", Day.Add(41*time.Minute), within); err != nil || n != 1 {
		t.Errorf("another's try is %d, %v", n, err)
	}
	o.must(o.second.Forget(o.ctx, "asha"))
	if n, _, err := o.k.Try(o.ctx, "asha", Day.Add(41*time.Minute), within); err != nil || n != 1 {
		t.Errorf("forgotten it is try %d, %v", n, err)
	}
}

func testShown(t *testing.T, o *staff) {
	j, k := o.job("Garage", ""), o.job("Shed", "")
	for _, name := range []string{"b.jpg", "a.jpg"} {
		_, err := o.s.PutFile(o.ctx, j.ID, photo(name, "pixels"))
		o.must(err)
		for range 2 {
			o.must(o.k.ShowFile(o.ctx, string(j.ID), name, true, o.deed(people.PhotoShown, name)))
		}
	}
	o.count(people.PhotoShown, 2)
	o.refuses(o.k.ShowFile(o.ctx, string(k.ID), "a.jpg", true, o.deed(people.PhotoShown, "")), store.Unknown, "no such file")
	for _, c := range []struct {
		job  store.ID
		want []string
	}{{j.ID, []string{"a.jpg", "b.jpg"}}, {k.ID, []string{}}} {
		got, err := o.second.Shown(o.ctx, string(c.job))
		o.must(err)
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("shown (-want +got):\n%s", d)
		}
	}
	for range 2 {
		o.must(o.k.ShowFile(o.ctx, string(j.ID), "a.jpg", false, o.deed(people.PhotoHidden, "a.jpg")))
	}
	o.count(people.PhotoHidden, 1)
	if got, err := o.second.Shown(o.ctx, string(j.ID)); err != nil || len(got) != 1 {
		t.Errorf("%v are shown, %v", got, err)
	}
}

func testDeeds(t *testing.T, o *staff) {
	var want []people.Deed
	for i := range 5 {
		d := o.deed(people.SignedIn, fmt.Sprint(i))
		d.Job = "j"
		d.When = Day.Add(time.Duration(i) * time.Second)
		o.must(o.k.AddDeed(o.ctx, d, 0))
		want = append([]people.Deed{d}, want...)
	}
	got, err := o.second.Deeds(o.ctx, 0, 4)
	o.must(err)
	for i := range got {
		if i > 0 && got[i].Seq >= got[i-1].Seq || got[i].Seq < 1 {
			t.Errorf("deed %d has number %d", i, got[i].Seq)
		}
		want[i].Seq = got[i].Seq
	}
	if d := cmp.Diff(want[:4], got); d != "" {
		t.Errorf("deeds (-want +got):\n%s", d)
	}
	if rest, err := o.k.Deeds(o.ctx, got[3].Seq, 10); err != nil || len(rest) != 1 || rest[0].About != "0" {
		t.Errorf("before these: %+v, %v", rest, err)
	}
	for _, limit := range []int{0, -1, people.MostDeeds + 1} {
		_, err := o.k.Deeds(o.ctx, 0, limit)
		o.refuses(err, store.Refused, "deeds")
	}
	_, err = o.k.Deeds(o.ctx, -1, 1)
	o.refuses(err, store.Refused, "deeds")
	// One who saves all the time is named now and then.
	change := func(min int, alter func(*people.Deed), want int) {
		t.Helper()
		d := o.deed(people.JobChanged, "")
		d.Job, d.When = "j", Day.Add(time.Duration(min)*time.Minute)
		if alter != nil {
			alter(&d)
		}
		o.must(o.k.AddDeed(o.ctx, d, 10*time.Minute))
		o.count(people.JobChanged, want)
	}
	change(0, nil, 1)
	change(9, nil, 1)
	change(10, nil, 2)
	change(11, func(d *people.Deed) { d.Job = "k" }, 3)
	change(11, func(d *people.Deed) { d.By = "2" }, 4)
	change(11, func(d *people.Deed) { d.ByName = "Asha by token x" }, 5)
	change(11, func(d *people.Deed) { d.From = "192.0.2.8" }, 6)
	change(12, nil, 6)
}

// testPeopleAtOnce has two owners end each other, and eight try and do deeds, through two openings: one owner is left, and nothing
// is lost.
func testPeopleAtOnce(t *testing.T, o *staff) {
	a, b := o.account("asha", people.Owner), o.account("bo", people.Owner)
	const each = 10
	var all sync.WaitGroup
	fails := make(chan error, 100)
	for i, id := range []string{a.ID, b.ID} {
		k := []people.Keeper{o.k, o.second}[i]
		all.Go(func() {
			if err := o.change(k, id, people.Owner, Day); err != nil && store.KindOf(err) != store.Refused {
				fails <- err
			}
		})
	}
	for i := range 4 {
		k := []people.Keeper{o.k, o.second}[i%2]
		all.Go(func() {
			for range each {
				_, _, err := k.Try(context.Background(), "key", Day, time.Hour)
				fails <- errors.Join(err, k.AddDeed(context.Background(), o.deed(people.SignedIn, ""), 0))
			}
		})
	}
	all.Wait()
	close(fails)
	for err := range fails {
		o.must(err)
	}
	list, err := o.k.Accounts(o.ctx)
	o.must(err)
	left := 0
	for _, x := range list {
		if x.Lives() {
			left++
		}
	}
	if left != 1 {
		t.Errorf("%d owners are left, want 1", left)
	}
	o.count(people.SignedIn, 4*each)
	if n, _, err := o.k.Try(o.ctx, "key", Day, time.Hour); err != nil || n != 4*each+1 {
		t.Errorf("the last try is %d, want %d, %v", n, 4*each+1, err)
	}
}
