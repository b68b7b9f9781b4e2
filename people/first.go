package people

import (
	"context"
	"time"

	"gelwright/store"
)

// FirstLink makes the link by which the first owner of a firm is made, once, within an hour, in place of those before. Whoever starts
// the server is told it, so that nobody else can come first: ASVS 6.3.2. Where somebody has an account already its secret is empty.
func (d *Door) FirstLink(ctx context.Context, v Visit) (secret string, ends time.Time, err error) {
	if begun, err := d.begun(ctx); err != nil || begun {
		return "", ends, err
	}
	now := d.now()
	if _, err := d.keeper.EndPasses(ctx, Passes{Kind: First}, now, Deed{}); err != nil {
		return "", ends, err
	}
	p, secret := newPass(First, now, firstLasts)
	p.Role, p.From = Owner, v.From
	return secret, p.Ends, d.keeper.AddPass(ctx, p, Deed{})
}

// begun reports whether somebody has, or had, an account.
func (d *Door) begun(ctx context.Context) (bool, error) {
	all, err := d.keeper.Accounts(ctx)
	return len(all) > 0, err
}

// MakeFirst makes the first owner, with his password, for whoever has the secret of FirstLink, and lets him in. What cannot be taken
// is refused before the link is used up; of several who use it at once one is let in.
func (d *Door) MakeFirst(ctx context.Context, v Visit, secret, signIn, name, password string) (session string, a Account, err error) {
	if err := d.firstLives(ctx, v, secret); err != nil {
		return "", a, err
	}
	a = Account{ID: string(store.NewID()), SignIn: SignInName(signIn), Name: name, Role: Owner, Made: store.Kept(d.now())}
	if err = a.Check(); err == nil {
		err = CheckPassword(password, &a)
	}
	if err != nil {
		return "", Account{}, err
	}
	if a.Password, err = d.hasher.Hash(ctx, password); err != nil {
		return "", Account{}, err
	}
	if _, err = d.keeper.TakePass(ctx, HashOf(secret), d.now()); store.KindOf(err) == store.Unknown {
		return "", Account{}, errEnded(First) // another took it meanwhile
	}
	if err == nil {
		err = d.keeper.AddAccount(ctx, a, v.deed(d.now(), a.Actor(), AccountMade, a.Name+", "+string(Owner)))
	}
	if err != nil {
		return "", Account{}, err
	}
	session, err = d.letIn(ctx, v, &a, "the link of the first start")
	return session, a, err
}

// firstLives says why a secret makes nobody the first owner; secrets that do not fit are counted.
func (d *Door) firstLives(ctx context.Context, v Visit, secret string) error {
	_, _, err := d.living(ctx, First, secret)
	if err == nil {
		begun, bad := d.begun(ctx)
		if err = bad; begun {
			err = errEnded(First)
		}
	}
	if KindOf(err) == Stranger {
		if often := d.mayTry(ctx, v, secretPrefix+v.From, mostSecrets); often != nil {
			return often
		}
	}
	return err
}
