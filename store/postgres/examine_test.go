package postgres

import (
	"testing"

	"gelwright/internal/postgrestest"
	"gelwright/store"
)

// TestExamine looks at an empty database, which stays empty, at one with a job, and at what is none.
func TestExamine(t *testing.T) {
	address := postgrestest.New(t)
	for range 2 { // what the first look made of it was taken back
		if newest, err := Examine(t.Context(), address); err != nil || !newest.IsZero() {
			t.Errorf("empty: %v, %v", newest, err)
		}
	}
	db := opened(t, address, t.TempDir())
	id := begun(t, db)
	job, err := db.Get(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	if newest, err := Examine(t.Context(), address); err != nil || !newest.Equal(job.Changed) {
		t.Errorf("changed last %v, want %v (%v)", newest, job.Changed, err)
	}
	if _, err := Examine(t.Context(), "postgres://nobody@127.0.0.1:1/none"); store.KindOf(err) != store.Failed {
		t.Errorf("no server there: %v", err)
	}
	if _, err := Examine(t.Context(), "no address"); store.KindOf(err) != store.Refused {
		t.Errorf("no address: %v", err)
	}
}
