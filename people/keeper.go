package people

import (
	"context"
	"time"
)

// Keeper keeps accounts, what lets people in, and what was done. Its methods may be called from many goroutines and processes, and
// each sees what the others were told is done. A method gives back a *store.Error for what it refuses, and has then changed
// nothing. A Deed that is given with a change is kept with it, or neither is; one without a Kind is none.
type Keeper interface {
	// AddAccount keeps a new account. A sign-in name, or an id, that is taken is a Clash; that of an account that has ended is taken.
	AddAccount(ctx context.Context, a Account, d Deed) error
	// Account gives an account by its id, AccountOf by its sign-in name as SignInName makes it; Unknown where there is none.
	Account(ctx context.Context, id string) (Account, error)
	AccountOf(ctx context.Context, signIn string) (Account, error)
	// Accounts lists all accounts, those that have ended too, by name, then by id.
	Accounts(ctx context.Context) ([]Account, error)
	// ChangeAccount changes name, role, end or password of an account, and ends its sessions, tokens, invitations and ceremonies.
	// Where there is an owner that has not ended, one stays: what would leave none is Refused.
	ChangeAccount(ctx context.Context, id string, c Change) (Account, error)

	// AddPass keeps a pass.
	AddPass(ctx context.Context, p Pass, d Deed) error
	// PassOf gives a pass by the hash of its secret with its account, which is empty where it has none; Unknown where there is none.
	PassOf(ctx context.Context, hash string) (Pass, Account, error)
	// UsePass says that a pass was used; first is kept where it never was before.
	UsePass(ctx context.Context, id string, when time.Time, first Deed) error
	// TakePass ends a pass and gives it; Unknown where there is none or it had ended: of several who take it at once one has it.
	TakePass(ctx context.Context, hash string, when time.Time) (Pass, error)
	// EndPasses ends passes that have not been ended, and says how many; where there were none, no deed is kept.
	EndPasses(ctx context.Context, of Passes, when time.Time, d Deed) (int, error)
	// Passes lists passes that have not been ended, those that are past their time too, the newest first.
	Passes(ctx context.Context, of Passes) ([]Pass, error)

	// AddPasskey keeps a passkey; an id that is taken is a Clash. Passkeys lists those of an account that were not taken away, the
	// newest first. UsePasskey keeps what a passkey has become by its use, EndPasskey takes one of an account away: Unknown where
	// there is none.
	AddPasskey(ctx context.Context, k Passkey, d Deed) error
	Passkeys(ctx context.Context, account string) ([]Passkey, error)
	UsePasskey(ctx context.Context, k Passkey) error
	EndPasskey(ctx context.Context, account, id string, when time.Time, d Deed) error

	// Try counts a try under a key and says how many there were in the time that began with the first of them and has not passed,
	// and when it began. Forget forgets those of a key.
	Try(ctx context.Context, key string, when time.Time, within time.Duration) (n int, began time.Time, err error)
	Forget(ctx context.Context, key string) error

	// ShowFile says that the customer of a job may see one of its files, or no longer; Shown names those he may see, by name.
	ShowFile(ctx context.Context, job, name string, shown bool, d Deed) error
	Shown(ctx context.Context, job string) ([]string, error)

	// AddDeed keeps a deed, which is never changed or taken away. Where the same account, by name too, did a deed of the same kind to
	// the same job from the same address less than unless before, it is not kept again; unless 0 always keeps it.
	AddDeed(ctx context.Context, d Deed, unless time.Duration) error
	// Deeds gives deeds, the newest first: those with a Seq below before (0: from the newest), at most limit.
	Deeds(ctx context.Context, before int64, limit int) ([]Deed, error)
}

// Change is a change of an account.
type Change struct {
	When time.Time
	// Do changes the account; its error is given back, and nothing is changed.
	Do func(*Account) error
	// Invitation is the hash of an invitation that must live still, and ends with the change; empty where none is needed.
	Invitation string
	Deed       Deed
}

// Passes are those that agree with every field that is not empty; one of the fields must not be.
type Passes struct {
	ID, Account, Job string
	Kind             PassKind
	// But is the id of one that is left out.
	But string
}

// Passkey is a key that a device keeps and signs with.
type Passkey struct {
	ID      string // as the device names it, base64 in the letters for addresses, without padding
	Account string
	Name    string // in a few words: the device
	// Credential is what is needed to hold a signature against it, as JSON.
	Credential string
	Made, Used time.Time
}

// MostDeeds is how many deeds can be asked for at once.
const MostDeeds = 1000
