package people

import (
	"context"
	"time"

	"gelwright/store"
)

// MakeToken makes a token with which a program asks for somebody, with a role no greater than his, until a day not more than a
// year on. Its secret is shown once.
func (d *Door) MakeToken(ctx context.Context, v Visit, by Actor, name string, role Role, ends time.Time) (
	secret string, p Pass, err error) {
	if err := line("name", name); err != nil {
		return "", p, err
	}
	if !by.Role.Covers(role) {
		return "", p, &Error{Kind: Forbidden, Place: "role", Found: "a token has no greater role than whoever makes it",
			Remedy: "Give " + string(by.Role) + ", or a lesser one"}
	}
	if err := d.until(ends, mostTokenLasts, "a year"); err != nil {
		return "", p, err
	}
	p, secret = newPass(Token, d.now(), 0)
	p.Account, p.Role, p.Name, p.From, p.Ends = by.ID, role, name, v.From, store.Kept(ends)
	return secret, p, d.keeper.AddPass(ctx, p, v.deed(d.now(), by, TokenMade, name+", "+string(role)))
}

// MakeLink makes a link that shows a customer one job until a day not more than two years on. Its secret is shown once.
func (d *Door) MakeLink(ctx context.Context, v Visit, by Actor, job, name string, ends time.Time) (secret string, p Pass, err error) {
	if err := line("name", name); err != nil {
		return "", p, err
	}
	if err := d.until(ends, mostLinkLasts, "two years"); err != nil {
		return "", p, err
	}
	p, secret = newPass(Link, d.now(), 0)
	p.Job, p.Role, p.Name, p.From, p.Ends = job, Customer, name, v.From, store.Kept(ends)
	deed := v.deed(d.now(), by, LinkMade, name)
	deed.Job = job
	return secret, p, d.keeper.AddPass(ctx, p, deed)
}

// until says what is wrong with the end of something that is lent.
func (d *Door) until(ends time.Time, most time.Duration, words string) error {
	switch now := d.now(); {
	case !ends.After(now):
		return refused("ends", "Give a day to come", "it has passed")
	case ends.After(now.Add(most)):
		return refused("ends", "Give an earlier day", "it lasts longer than %s, the most that is lent", words)
	}
	return nil
}

// OpenLink is the actor whom the secret of a customer's link lets in; secrets that do not fit are counted.
func (d *Door) OpenLink(ctx context.Context, v Visit, secret string) (Pass, error) {
	_, p, err := d.Who(ctx, v, Link, secret)
	if KindOf(err) == Stranger {
		if often := d.mayTry(ctx, v, secretPrefix+v.From, mostSecrets); often != nil {
			return p, often
		}
	}
	return p, err
}

// endings are what stands in the deeds when a pass is ended.
var endings = map[PassKind]DeedKind{Session: SessionEnded, Token: TokenEnded, Link: LinkEnded}

// EndPass ends one pass among some; Unknown where there is none.
func (d *Door) EndPass(ctx context.Context, v Visit, by Actor, of Passes, about string) error {
	deed := v.deed(d.now(), by, endings[of.Kind], about)
	deed.Job = of.Job
	n, err := d.keeper.EndPasses(ctx, of, d.now(), deed)
	if err == nil && n == 0 && of.ID != "" {
		err = Unknown(string(of.Kind))
	}
	return err
}

// Living lists passes that let somebody in now, the newest first.
func (d *Door) Living(ctx context.Context, of Passes) ([]Pass, error) {
	all, err := d.keeper.Passes(ctx, of)
	out := []Pass{}
	for _, p := range all {
		if p.Lives(d.now()) {
			out = append(out, p)
		}
	}
	return out, err
}
