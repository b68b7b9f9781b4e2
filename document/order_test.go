package document

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/internal/examples"
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
	want := fmt.Sprintf("%.2f kg in the buckets", d.inBuckets(d.p.Job.Spec.Catalyst))
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

// Every bucket has a row with room to write when it was mixed and gelled, and the day's
// record stands on one page.
func TestEveryBucketCanBeRecorded(t *testing.T) {
	for _, name := range []string{"r01-garage", "r03-bay"} {
		if !strings.Contains(said(t, name, "Buckets"), "gelled at") {
			t.Errorf("%s: no room to write when a bucket gelled", name)
		}
		pages := 0
		for _, s := range written(t, name).site.sections {
			if strings.HasPrefix(s, "Site record") {
				pages++
			}
		}
		if pages != 1 {
			t.Errorf("%s: the record takes %d pages", name, pages)
		}
	}
}

// What is fetched on the day when it was forgotten stands in the order: of a stripped garage
// with one drip of 3.2 m, of a hall with twelve rooflights, of a parapet of 22.4 m in 2.5 m.
func TestOrderListIsComplete(t *testing.T) {
	for name, want := range map[string]map[string]float64{
		"r01-garage": {"filler.paste": 0, "mask.tape": 17.6, "mask.sheet": 17.6 * 1.1, "tool.blades": 2, "tool.chalk-line": 1,
			"tool.consolidating-roller": 2, "gutter.length": 3.2, "waste.strip": 17.92 * (0.02 + 0.03)},
		"r12-hall":    {"fitting.rooflight.1200x1200": 12, "tool.consolidating-roller": 8, "gutter.length": 2 * (30 + 7*0.05)},
		"r10-terrace": {"coping.330": 22 + 8*0.05},
	} {
		if testing.Short() && name != "r01-garage" {
			continue
		}
		net := map[string]float64{}
		for _, l := range examples.Plan(t, name).Order.Schedule.Lines {
			net[l.MaterialKey] = l.Net
		}
		for key, q := range want {
			got, ok := net[key]
			if !ok || q > 0 && math.Abs(got-q) > 0.01*q {
				t.Errorf("%s: %s is ordered as %g, want %g", name, key, got, q)
			}
		}
	}
}

// A hall's site book can be carried, a garage's fits a pocket, and all of it is A4.
func TestSiteBookIsShort(t *testing.T) {
	for name, most := range map[string]int{"r01-garage": 12, "r03-bay": 14, "r04-l-shape": 23, "r12-hall": 30} {
		if testing.Short() && name == "r12-hall" {
			continue
		}
		d := written(t, name).site
		if n := d.f.PageCount(); n > most {
			t.Errorf("%s: %d pages, want %d or fewer", name, n, most)
		}
		for n := 1; n <= d.f.PageCount(); n++ {
			if w, h, _ := d.f.PageSize(n); math.Abs(w+h-(pageWidth+pageHeight)) > 0.1 {
				t.Errorf("%s: page %d is %.0f × %.0f mm", name, n, w, h)
			}
		}
		front := 0
		for _, s := range d.sections {
			if s == "Site book" {
				front++
			}
		}
		if front != 1 {
			t.Errorf("%s: the first page takes %d", name, front)
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
