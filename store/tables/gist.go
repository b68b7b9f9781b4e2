package tables

import (
	"context"
	"database/sql"
	"time"
)

// Gist is what can be said of tables of any version, without bringing them up.
type Gist struct {
	// Changed is when a job was changed last, as it was told; the zero time where there is none.
	Changed time.Time
	// Accounts are those of people, ended ones too; of tables that are older than accounts 0.
	Accounts int
}

// GistOf reads it; withAccounts says that the tables are no older than accounts.
func GistOf(ctx context.Context, withAccounts bool, db interface {
	QueryRowContext(ctx context.Context, ask string, args ...any) *sql.Row
}) (g Gist, err error) {
	var ms sql.NullInt64
	if err := db.QueryRowContext(ctx, "SELECT max(changed_ms) FROM job").Scan(&ms); err != nil {
		return g, err
	}
	if ms.Valid {
		g.Changed = when(ms.Int64)
	}
	if withAccounts {
		err = db.QueryRowContext(ctx, "SELECT count(*) FROM account").Scan(&g.Accounts)
	}
	return g, err
}
