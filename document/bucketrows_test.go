package document

import (
	"slices"
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
					if !slices.Contains([]string{"no.", "mix at", "deck / pail °C", "ml per litre", "%"}, c.head) {
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
