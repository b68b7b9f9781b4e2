package tables

import "testing"

// TestBound writes questions as a database that counts what is given wants them.
func TestBound(t *testing.T) {
	numbered, plain := Dialect{Numbered: true}, Dialect{}
	for ask, want := range map[string]string{
		"SELECT 1": "SELECT 1",
		"INSERT INTO job (id, find) VALUES (?, ?)":                      "INSERT INTO job (id, find) VALUES ($1, $2)",
		"WHERE what = 'why?' AND who = ? AND site = 'it''s?' OR id = ?": "WHERE what = 'why?' AND who = $1 AND site = 'it''s?' OR id = $2",
		"?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?":                               "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11",
	} {
		if got := numbered.bound(ask); got != want {
			t.Errorf("%s: %s, want %s", ask, got, want)
		}
		if got := plain.bound(ask); got != ask {
			t.Errorf("%s became %s", ask, got)
		}
	}
}
