package postgres

import (
	"context"
	"errors"
	"time"

	"gelwright/store/tables"
)

// Examine looks at the database at an address as it is: whether it answers, is ours or empty, and of a version that this program
// knows. It brings nothing up and changes nothing. What is wrong is a *store.Error; newest is when a job was changed last, the zero
// time where there is none.
func Examine(ctx context.Context, address string) (newest time.Time, err error) {
	db, place, err := connect(address)
	if err != nil {
		return newest, err
	}
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return newest, errors.Join(fault(place, err), db.Close())
	}
	now, err := version(ctx, tx, place, len(steps())) // what it makes of an empty one is taken back
	if err == nil && now > 0 {
		newest, err = tables.ChangedLast(ctx, tx)
	}
	return newest, fault(place, errors.Join(err, tx.Rollback(), db.Close()))
}
