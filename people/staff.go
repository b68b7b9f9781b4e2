package people

import (
	"context"
	"time"

	"gelwright/store"
)

// Add makes an account without a password; Invite lets its person choose one. ASVS 6.3.2: no account is there that nobody made,
// and none has a password that somebody else knows.
func (d *Door) Add(ctx context.Context, v Visit, by Actor, signIn, name string, role Role) (Account, error) {
	a := Account{ID: string(store.NewID()), SignIn: SignInName(signIn), Name: name, Role: role, Made: store.Kept(d.now())}
	if err := a.Check(); err != nil {
		return Account{}, err
	}
	return a, d.keeper.AddAccount(ctx, a, v.deed(d.now(), by, AccountMade, a.Name+", "+string(role)))
}

// Invite makes an invitation to an account, in place of those before, and gives its secret and when it ends. It works once, and
// also for who has forgotten the password. ASVS 6.4.1.
func (d *Door) Invite(ctx context.Context, v Visit, by Actor, account string) (secret string, ends time.Time, err error) {
	a, err := d.keeper.Account(ctx, account)
	if err != nil {
		return "", ends, err
	}
	if !a.Lives() {
		return "", ends, refused("account", "Make a new account", "that of %s has ended", a.Name)
	}
	now := d.now()
	if _, err := d.keeper.EndPasses(ctx, Passes{Account: a.ID, Kind: Invitation}, now, Deed{}); err != nil {
		return "", ends, err
	}
	p, secret := newPass(Invitation, now, invitationLasts)
	p.Account, p.Role, p.Name, p.From = a.ID, a.Role, a.Name, v.From
	return secret, p.Ends, d.keeper.AddPass(ctx, p, v.deed(now, by, Invited, a.Name))
}

// Invitation is the account to which a secret invites.
func (d *Door) Invitation(ctx context.Context, v Visit, secret string) (Account, error) {
	_, a, err := d.living(ctx, Invitation, secret)
	if KindOf(err) == Stranger {
		if often := d.mayTry(ctx, v, secretPrefix+v.From, mostSecrets); often != nil {
			return a, often
		}
	}
	return a, err
}

// Accept sets the password of the account to which a secret invites, ends what let in before, and lets in.
func (d *Door) Accept(ctx context.Context, v Visit, secret, password string) (session string, a Account, err error) {
	if a, err = d.Invitation(ctx, v, secret); err != nil {
		return "", a, err
	}
	if a, err = d.setPassword(ctx, v, a, password, HashOf(secret)); err != nil {
		if store.KindOf(err) == store.Unknown {
			err = errEnded(Invitation) // another took it meanwhile
		}
		return "", a, err
	}
	session, err = d.letIn(ctx, v, &a, "invitation")
	return session, a, err
}

// setPassword sets a password and ends all sessions.
func (d *Door) setPassword(ctx context.Context, v Visit, a Account, password, invitation string) (Account, error) {
	if err := CheckPassword(password, &a); err != nil {
		return a, err
	}
	hash, err := d.hasher.Hash(ctx, password)
	if err != nil {
		return a, err
	}
	deed := v.deed(d.now(), a.Actor(), PasswordChanged, "")
	return d.keeper.ChangeAccount(ctx, a.ID, Change{When: d.now(), Invitation: invitation, Deed: deed,
		Do: func(a *Account) error {
			a.Password = hash
			return nil
		}})
}

// ChangePassword sets another password for whoever knows the old one, ends all sessions and tokens, and begins a new one here. ASVS
// 6.2.2, 6.2.3, 7.4.3.
func (d *Door) ChangePassword(ctx context.Context, v Visit, by Actor, old, password string) (session string, err error) {
	a, err := d.keeper.Account(ctx, by.ID)
	if err != nil {
		return "", err
	}
	if err := d.mayTry(ctx, v, "name "+a.SignIn, mostByName); err != nil {
		return "", err
	}
	fits, err := d.hasher.Fits(ctx, old, a.Password)
	if err != nil {
		return "", err
	}
	if !fits {
		return "", refused("old password", "Type it anew; who has forgotten it asks the owner for an invitation", "it is another")
	}
	if err := d.keeper.Forget(ctx, HashOf("name "+a.SignIn)); err != nil {
		return "", err
	}
	if a, err = d.setPassword(ctx, v, a, password, ""); err != nil {
		return "", err
	}
	return d.letIn(ctx, v, &a, "new password")
}

// ChangeRole gives an account another role, and ends its sessions and tokens.
func (d *Door) ChangeRole(ctx context.Context, v Visit, by Actor, account string, role Role) error {
	if err := role.Check(); err != nil {
		return err
	}
	a, err := d.keeper.Account(ctx, account)
	if err != nil {
		return err
	}
	_, err = d.keeper.ChangeAccount(ctx, account, Change{When: d.now(), Deed: v.deed(d.now(), by, RoleChanged, a.Name+", "+string(role)),
		Do: func(a *Account) error {
			if !a.Lives() {
				return refused("account", "Make a new account", "that of %s has ended", a.Name)
			}
			a.Role = role
			return nil
		}})
	return err
}

// End ends an account: nobody is let in by it any more, at once. What its person did stays under his name. ASVS 7.4.2.
func (d *Door) End(ctx context.Context, v Visit, by Actor, account string) error {
	a, err := d.keeper.Account(ctx, account)
	if err != nil {
		return err
	}
	_, err = d.keeper.ChangeAccount(ctx, account, Change{When: d.now(), Deed: v.deed(d.now(), by, AccountEnded, a.Name),
		Do: func(a *Account) error {
			if a.Lives() {
				a.Ended = d.now()
			}
			return nil
		}})
	return err
}
