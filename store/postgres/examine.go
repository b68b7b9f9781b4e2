package postgres

import (
	"context"
	"errors"

	"gelwright/store/tables"
)

// withAccounts is the first version that has accounts.
const withAccounts = 2

// Examine looks at the database at an address as it is: whether it answers, is ours or empty, and of a version that this program
// knows. It brings nothing up and changes nothing. What is wrong is a *store.Error.
func Examine(ctx context.Context, address string) (gist tables.Gist, err error) {
	db, place, err := connect(address)
	if err != nil {
		return gist, err
	}
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return gist, errors.Join(fault(place, err), db.Close())
	}
	now, err := version(ctx, tx, place, len(steps())) // what it makes of an empty one is taken back
	if err == nil && now > 0 {
		gist, err = tables.GistOf(ctx, now >= withAccounts, tx)
	}
	return gist, fault(place, errors.Join(err, tx.Rollback(), db.Close()))
}
