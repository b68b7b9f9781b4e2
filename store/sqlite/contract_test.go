package sqlite

import (
	"context"
	"testing"

	_ "gelwright/internal/steady"
	"gelwright/store"
	"gelwright/store/storetest"
)

// opened opens the folder until the end of the test.
func opened(t testing.TB, dir string) *DB {
	t.Helper()
	db, err := Open(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	return db
}

// TestContract holds the folder to the contract of a store.
func TestContract(t *testing.T) {
	storetest.Exercise(t, func(t testing.TB) (store.Store, func() store.Store) {
		dir := t.TempDir()
		return opened(t, dir), func() store.Store { return opened(t, dir) }
	})
}

func openedOffice(t testing.TB) (storetest.Office, func() storetest.Office) {
	dir := t.TempDir()
	return opened(t, dir), func() storetest.Office { return opened(t, dir) }
}

// TestOfficeContract holds the folder to the contract of an office.
func TestOfficeContract(t *testing.T) { storetest.ExerciseOffice(t, openedOffice) }

// TestPeopleContract holds the folder to the contract of a keeper of people.
func TestPeopleContract(t *testing.T) {
	storetest.ExercisePeople(t, func(t testing.TB) (store.Store, func() store.Store) {
		dir := t.TempDir()
		return opened(t, dir), func() store.Store { return opened(t, dir) }
	})
}
