package storetest_test

import (
	"context"
	"testing"

	"gelwright/store"
	"gelwright/store/sqlite"
	"gelwright/store/storetest"
)

// folder opens a folder of jobs.
func folder(t testing.TB) (store.Store, func() store.Store) {
	dir := t.TempDir()
	open := func() store.Store {
		db, err := sqlite.Open(context.Background(), dir)
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
	return open(), open
}

// TestFolderAtOnce has a folder of jobs written through two openings at once.
func TestFolderAtOnce(t *testing.T) { storetest.WritersAtOnce(t, folder) }

// TestPeopleAtOnce has accounts changed through two openings at once.
func TestPeopleAtOnce(t *testing.T) { storetest.PeopleAtOnce(t, folder) }

// TestSheetsAtOnce has a sheet of the office written through two openings at once.
func TestSheetsAtOnce(t *testing.T) {
	storetest.SheetsAtOnce(t, func(t testing.TB) (storetest.Office, func() storetest.Office) {
		dir := t.TempDir()
		open := func() storetest.Office {
			db, err := sqlite.Open(context.Background(), dir)
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
		return open(), open
	})
}
