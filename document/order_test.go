package document

import (
	"fmt"
	"strings"
	"testing"
)

// said is all that the pages of a section say.
func said(t *testing.T, name, section string) string {
	t.Helper()
	var b strings.Builder
	written(t, name).bound(func(d *pack, all []placed) {
		for _, x := range all {
			if strings.Contains(strings.ToLower(d.sections[x.page]), strings.ToLower(section)) {
				b.WriteString(x.text + " ")
			}
		}
	})
	return b.String()
}

// What is ordered above the buckets' catalyst is called a reserve.
func TestCatalystReserveIsNamed(t *testing.T) {
	d := written(t, "r01-garage").office
	want := fmt.Sprintf("%.2f kg in the buckets", d.p.Totals.CatalystG/1000)
	if got := said(t, "r01-garage", "Schedule of quantities"); !strings.Contains(got, "in reserve") || !strings.Contains(strings.Join(strings.Fields(got), " "), want) {
		t.Errorf("the order does not say %q and a reserve", want)
	}
}

// A refused overlay heads the first page, the worries and the order.
func TestRefusedOverlayComesFirst(t *testing.T) {
	d := written(t, "r07-overlay").office
	if list, _ := d.worst(); !strings.Contains(list[0], "refused") {
		t.Errorf("worry no. 1 is %q", list[0])
	}
	for i, l := range mustWorst(t, "r07-overlay")[1:] {
		if strings.Contains(l, "overlay is refused") {
			t.Errorf("worry %d says it again: %s", i+2, l)
		}
	}
	if !strings.Contains(said(t, "r07-overlay", "Site book"), "REFUSED") {
		t.Error("the kind of work does not say that it is refused")
	}
	if !strings.Contains(said(t, "r07-overlay", "Schedule of quantities"), "ORDER NOTHING YET") {
		t.Error("the order list sells the overlay")
	}
	settle := said(t, "r07-overlay", "What to settle first")
	if k := strings.Index(settle, "overlaid?"); k < 0 || k > strings.Index(settle, "Fails") {
		t.Error("what to settle first does not begin with the overlay")
	}
}

func mustWorst(t *testing.T, name string) []string {
	t.Helper()
	d := written(t, name).site
	list, _ := d.worst()
	return list
}

// The record has a line for every bucket.
func TestRecordHasALineForEveryBucket(t *testing.T) {
	for _, name := range []string{"r01-garage", "r09-summer", "r12-hall"} {
		d := written(t, name).site
		if n := d.recordRows(); n < d.p.Totals.Buckets || n > recordLines && !strings.Contains(d.recordWhy(), "copy") {
			t.Errorf("%s: %d lines for %d buckets, %q", name, n, d.p.Totals.Buckets, d.recordWhy())
		}
	}
}

// A break stands between the buckets that it parts, and not above the sheet.
func TestABreakStandsBetweenItsBuckets(t *testing.T) {
	text := said(t, "r09-summer", "Buckets")
	d := written(t, "r09-summer").site
	for _, x := range d.p.Passes {
		if x.Plan == nil {
			continue
		}
		for i, m := range x.Plan.Mixes {
			if m.WaitedMin == 0 || i == 0 {
				continue
			}
			at := strings.Index(text, "Break of")
			before, after := strings.Index(text, fmt.Sprintf(" %d ", x.Plan.Mixes[i-1].Number)), strings.LastIndex(text, fmt.Sprintf(" %d ", m.Number))
			if at < 0 || !(before < at && at < after) {
				t.Errorf("bucket %d at %d, break at %d, bucket %d at %d", x.Plan.Mixes[i-1].Number, before, at, m.Number, after)
			}
			return
		}
	}
	t.Error("no bucket of the hot day waits")
}

// Strips stand by their work, a patch with the pipe or outlet that it serves.
func TestPatchesAreNamedByWhatTheyServe(t *testing.T) {
	for name, want := range map[string][]string{"r07-overlay": {"pipe SVP"}, "r08-winter": {"outlet OUT", "overflow OVF"}} {
		text := said(t, name, "Buckets")
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s: nothing is of %q", name, w)
			}
		}
		if strings.Contains(text, "corner patches") {
			t.Errorf("%s: a patch is of no place", name)
		}
	}
}
