package document

import (
	"bytes"
	"context"
	"encoding/csv"
	"strings"
	"testing"
)

// Firrings with skew ends are listed with the timber they are cut from and their notes;
// where none has any the schedule has no such columns.
func TestFirringsAreListedAsCut(t *testing.T) {
	text := said(t, "r05-triangle", "Falls")
	for _, want := range []string{"cut from mm", "2714", "2983", "note", "37° off square", "set in 41 mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("the schedule lacks %q", want)
		}
	}
	if text := said(t, "r02-dormer", "Falls"); strings.Contains(text, "cut from mm") {
		t.Error("no end of the dormer's firrings is skew, yet they are cut from longer timber")
	}
	p, _ := planned(t, "r05-triangle")
	files, err := Files(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if f.Name != "lists/firrings.csv" {
			continue
		}
		rows, err := csv.NewReader(bytes.NewReader(f.Content)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(rows[0][9:], " "); got != "cut_from_m from_skew_deg to_skew_deg note" {
			t.Errorf("heads %q", got)
		}
		if r := rows[2]; r[1] != "F2" || r[9] != "2.714" || r[10] != "0.0" || r[11] != "36.9" || !strings.Contains(r[12], "thin end skew") {
			t.Errorf("%q", r)
		}
		return
	}
	t.Error("no list of firrings")
}
