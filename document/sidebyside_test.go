package document

import (
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

// Pots of one man that are mixed alike share a line, whatever he mixes between them, and none is left out.
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
		if n != len(s.mixes) || len(s.runs)*2 > n {
			t.Errorf("%d pots on %d lines of %d", n, len(s.runs), len(s.mixes))
		}
		return
	}
	t.Error("nobody cuts in")
}
