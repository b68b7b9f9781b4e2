package tables

import (
	"context"
	"database/sql"
	"time"
)

// ChangedLast is when a job was changed last, as it was told; the zero time where there is none. It reads tables of any version.
func ChangedLast(ctx context.Context, db interface {
	QueryRowContext(ctx context.Context, ask string, args ...any) *sql.Row
}) (time.Time, error) {
	var ms sql.NullInt64
	if err := db.QueryRowContext(ctx, "SELECT max(changed_ms) FROM job").Scan(&ms); err != nil || !ms.Valid {
		return time.Time{}, err
	}
	return when(ms.Int64), nil
}
