package document

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"gelwright/mixing"
)

// No number, hour, temperature or dose of a bucket is broken over two lines, whether buckets share a line or not.
func TestHoursOfBucketsAreNotBroken(t *testing.T) {
	p, _ := planned(t, "r01-garage")
	d, err := newPack(p, "site", "Site book", nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	w := d.wetDays()[0]
	var mixes []mixing.Mix
	for i := range 3 {
		m := w.mixes[0]
		m.Parts, m.DosePct, m.DoseMLPerL = nil, 1.95, 21.2
		m.Number, m.MixAtMin = 128+i, m.MixAtMin+10*float64(i)
		if i == 2 {
			m.DosePct, m.DoseMLPerL = 1.85, 20.1
		}
		mixes = append(mixes, m)
	}
	w.mixes = mixes
	for _, marks := range []string{"", " [118] [119]"} {
		for kind, runs := range map[bucketType][]bucketRun{largeBuckets: alone(mixes), denseBuckets: {mixes[:2], mixes[2:]}} {
			s := bucketSheet{wetDay: w, runs: runs, kind: kind}
			table, rows := d.changingTable(s, func(mixing.Mix) string { return marks })
			table.widths(d.width())
			for _, row := range rows {
				for i, c := range table.columns {
					if !slices.Contains([]string{"no.", "mix at", "deck / pail °C", "ml per litre", "%"}, strings.ReplaceAll(c.head, "\n", " ")) {
						continue
					}
					d.font(table.size(i), c.bold)
					if got := d.wrap(row[i], table.w[i]-2*cellPad); len(got) != 1 {
						t.Errorf("type of %g points, marks %q, %s: %q", kind.main, marks, c.head, got)
					}
				}
			}
		}
	}
}

// What is weighed and its minutes are never parted by a raised dot, a decimal point to some: they stand on one line with a stroke
// between them, and the head says which is which.
func TestStepsOfTheLadderAreNoDecimals(t *testing.T) {
	p, _ := planned(t, "r01-garage")
	d, err := newPack(p, "site", "Site book", nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	w := d.wetDays()[0]
	m := w.mixes[0]
	m.Ladder = []mixing.Rung{{OffK: -6, CatalystML: 154, LayByMin: 30}, {OffK: 3, CatalystML: 6, LayByMin: 14}}
	w.mixes = []mixing.Mix{m}
	const unit, want = "ml, in min", "154/30 6.0/14"
	for _, kind := range []bucketType{largeBuckets, denseBuckets} {
		table, rows := d.changingTable(bucketSheet{wetDay: w, runs: alone(w.mixes), kind: kind}, func(mixing.Mix) string { return "" })
		table.widths(d.width())
		var cells []string
		for i, col := range table.columns {
			if !strings.Contains(col.head, "°\n") {
				continue
			}
			if !strings.HasSuffix(col.head, "°\n"+unit) {
				t.Errorf("type of %g points: head %q", kind.main, col.head)
			}
			cells = append(cells, rows[0][i])
			d.font(table.size(i), col.bold)
			if got := d.wrap(rows[0][i], table.w[i]-2*cellPad); len(got) != 1 {
				t.Errorf("type of %g points: %q breaks into %q", kind.main, rows[0][i], got)
			}
		}
		if got := strings.Join(cells, " "); got != want {
			t.Errorf("type of %g points: %q, want %q", kind.main, got, want)
		}
	}
}

// Words of a hundred letters stand in few lines: in what the figures leave them, or below these.
func TestWhatABucketCoversTakesFewLines(t *testing.T) {
	p, _ := planned(t, "r01-garage")
	d, err := newPack(p, "site", "Site book", nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	w := d.wetDays()[0]
	m := w.mixes[0]
	m.Parts = nil
	for i := range 20 {
		m.Parts = append(m.Parts, mixing.Part{Name: fmt.Sprintf("X%d", 3*i+100), Whole: true})
	}
	w.mixes = []mixing.Mix{m}
	for _, marks := range []string{"", " [118] [119]"} {
		for _, kind := range []bucketType{largeBuckets, denseBuckets} {
			table, rows := d.changingTable(bucketSheet{wetDay: w, runs: alone(w.mixes), kind: kind}, func(mixing.Mix) string { return marks })
			table.widths(d.width())
			if high := table.height(d.pages, rows[0]); high > kind.rowMM+3*lineMM(kind.small) {
				t.Errorf("type of %g points, marks %q: a row of %.1f mm for %q", kind.main, marks, high, rows[0])
			}
		}
	}
}

// References that follow one another are told by their ends.
func TestMarksTogether(t *testing.T) {
	if got := marksTogether([]string{"[39]", "[41]", "[40]", "[42]", "[50]", "[52]", "[53]"}); got != "[39] to [42], [50], [52], [53]" {
		t.Errorf("%q", got)
	}
}
