package document

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/mixing"
)

// Where a bucket table stands in parts side by side no number, hour or dose is broken over two lines, and a sheet
// of many buckets takes three parts.
func TestPartsOfABucketTableAreWhole(t *testing.T) {
	if testing.Short() {
		t.Skip("the hall is planned for it")
	}
	d := written(t, "r12-hall").site
	three := 0
	for _, s := range d.bucketSheets() {
		if s.across == 0 {
			continue
		}
		if s.across > 2 {
			three++
		}
		table, rows := d.partTable(s)
		if !table.beside(s.across).unbroken(d.pages, rows) {
			t.Errorf("%s: a cell is broken", s.name())
		}
		for _, r := range rows {
			if len(r) != len(table.columns) {
				t.Fatalf("%s: %d cells under %d heads", s.name(), len(r), len(table.columns))
			}
		}
	}
	if three < 3 {
		t.Errorf("%d sheets of three parts, want those of mat and top coat", three)
	}
}

// A gang is told of its own day alone, and steps at which nothing may be mixed stand in words, not in a column of 'no'.
func TestBucketSheetsTellTheirOwn(t *testing.T) {
	if testing.Short() {
		t.Skip("the hall is planned for it")
	}
	d := written(t, "r12-hall").site
	alike := d.alikeKeys()
	told := 0
	for _, s := range d.bucketSheets() {
		for _, w := range d.sheetWords(s, alike) {
			if strings.HasPrefix(w.text, "Gang ") {
				told++
				if !strings.HasPrefix(w.text, "Gang "+s.gang+":") {
					t.Errorf("%s: %s", s.name(), w.text)
				}
			}
		}
		if !s.steady {
			continue
		}
		table, rows := d.bucketTable(s, func(_ mixing.Mix) string { return "" })
		for i := range table.columns {
			all := true
			for _, r := range rows {
				all = all && i < len(r) && r[i] == "no"
			}
			if all {
				t.Errorf("%s: a column says 'no' all the way down", s.name())
			}
		}
	}
	if told == 0 {
		t.Error("no gang is told when its day ends")
	}
}

// Pots of one man that are mixed alike one after another share a line, and none is left out.
func TestPotsShareALine(t *testing.T) {
	if testing.Short() {
		t.Skip("the hall is planned for it")
	}
	d := written(t, "r12-hall").site
	for _, s := range d.bucketSheets() {
		if !s.pots {
			continue
		}
		n := 0
		for _, r := range s.runs {
			n += len(r)
			for _, m := range r {
				if m.Gang != r[0].Gang || d.chargeWords(m) != d.chargeWords(r[0]) {
					t.Errorf("pot %d shares the line of pot %d", m.Number, r[0].Number)
				}
			}
		}
		if n != len(s.mixes) || len(s.runs) >= n {
			t.Errorf("%d pots on %d lines of %d", n, len(s.runs), len(s.mixes))
		}
		return
	}
	t.Error("nobody cuts in")
}

// Edges that are cut in in turns with their field stand turn by turn, every bucket under its own turn: a line that joined the pots of
// several turns would read "08:03–13:16" and tell nobody what to mix now.
func TestCuttingInStandsTurnByTurn(t *testing.T) {
	if testing.Short() {
		t.Skip("the hall is planned for it")
	}
	d := written(t, "r12-hall").site
	rolled := map[int]bool{}
	for _, s := range d.bucketSheets() {
		if s.pass.Coat() && !s.pass.Pieces() {
			for _, m := range s.mixes {
				rolled[m.Number] = true
			}
		}
	}
	turns := 0
	for _, s := range d.bucketSheets() {
		if !s.pots {
			continue
		}
		told := 0
		for _, r := range s.runs {
			told += len(r)
			first, last := r[0].Number, r[len(r)-1].Number
			for n := first; n <= last; n++ {
				if rolled[n] {
					t.Errorf("%d to %d stand on one line, and %d is rolled between them", first, last, n)
				}
			}
		}
		if told != len(s.mixes) {
			t.Errorf("%s: %d buckets on its lines, %d in its plan", s.name(), told, len(s.mixes))
		}
		_, rows := d.bucketTable(s, func(mixing.Mix) string { return "" })
		first := s.mixes[0].Number
		for _, m := range s.mixes {
			first = min(first, m.Number)
		}
		next := 0
		for _, r := range rows {
			if !across(r) {
				continue
			}
			turns++
			if next == 0 && !strings.Contains(r[0], fmt.Sprintf("cut in %d–", first)) {
				t.Errorf("the first turn is %q, and the first bucket %d", r[0], first)
			}
			next++
		}
	}
	if turns < 3 {
		t.Errorf("%d turns on the sheets of the hall", turns)
	}
}

// The line over a turn, by hand.
func TestALineTellsItsTurn(t *testing.T) {
	s := bucketSheet{wetDay: wetDay{mixes: []mixing.Mix{{Number: 3, MixAtMin: 484}, {Number: 1, MixAtMin: 480}, {Number: 2, MixAtMin: 481},
		{Number: 7, MixAtMin: 540}, {Number: 12, MixAtMin: 600}, {Number: 13, MixAtMin: 606}}}}
	for turn, want := range []string{"08:00: cut in 1–3, then roll 4–6", "09:00: cut in 7, then roll 8–11", "10:00: cut in 12–13, then roll from 14"} {
		if got := s.turnLine(turn); got != want {
			t.Errorf("turn %d: %q, want %q", turn, got, want)
		}
	}
}
