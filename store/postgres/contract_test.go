package postgres

import (
	"context"
	"path/filepath"
	"testing"

	"gelwright/internal/postgrestest"
	_ "gelwright/internal/steady"
	"gelwright/store"
	"gelwright/store/folder"
	"gelwright/store/storetest"
)

// opened opens a database, its files in a folder, until the end of the test.
func opened(t testing.TB, address, dir string) *DB {
	t.Helper()
	files, err := folder.Open(filepath.Join(dir, "files"))
	if err != nil {
		t.Fatal(err)
	}
	db, err := Open(context.Background(), address, files, 0)
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

func openNew(t testing.TB) (store.Store, func() store.Store) {
	dir, address := t.TempDir(), postgrestest.New(t)
	return opened(t, address, dir), func() store.Store { return opened(t, address, dir) }
}

// TestContract holds the database to the contract of a store.
func TestContract(t *testing.T) { storetest.Exercise(t, openNew) }

// TestOfficeContract holds the database to the contract of an office.
func TestOfficeContract(t *testing.T) {
	storetest.ExerciseOffice(t, func(t testing.TB) (storetest.Office, func() storetest.Office) {
		dir, address := t.TempDir(), postgrestest.New(t)
		return opened(t, address, dir), func() storetest.Office { return opened(t, address, dir) }
	})
}

// TestPeopleContract holds the database to the contract of a keeper of people.
func TestPeopleContract(t *testing.T) { storetest.ExercisePeople(t, openNew) }
