package postgres

import (
	"testing"

	"gelwright/internal/postgrestest"
	"gelwright/people"
	"gelwright/store"
)

// TestExamine looks at an empty database, which stays empty, at one with a job, and at what is none.
func TestExamine(t *testing.T) {
	address := postgrestest.New(t)
	for range 2 { // what the first look made of it was taken back
		if gist, err := Examine(t.Context(), address); err != nil || !gist.Changed.IsZero() || gist.Accounts != 0 {
			t.Errorf("empty: %+v, %v", gist, err)
		}
	}
	db := opened(t, address, t.TempDir())
	id := begun(t, db)
	job, err := db.Get(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	owner := people.Account{ID: string(store.NewID()), SignIn: "asha", Name: "Asha", Role: people.Owner, Made: job.Changed}
	if err := db.AddAccount(t.Context(), owner, people.Deed{}); err != nil {
		t.Fatal(err)
	}
	if gist, err := Examine(t.Context(), address); err != nil || !gist.Changed.Equal(job.Changed) || gist.Accounts != 1 {
		t.Errorf("it is %+v, want one account, changed last %v (%v)", gist, job.Changed, err)
	}
	if _, err := Examine(t.Context(), "postgres://nobody@127.0.0.1:1/none"); store.KindOf(err) != store.Failed {
		t.Errorf("no server there: %v", err)
	}
	if _, err := Examine(t.Context(), "no address"); store.KindOf(err) != store.Refused {
		t.Errorf("no address: %v", err)
	}
}
