package plan_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gelwright/framing"
	"gelwright/settingout"
)

// The rooflight of 1.5 × 1 m between joists of 47 × 195 at 400: it cuts those at 4.8 to
// 6.0, so that headers reach from 4.4 to 6.4 less a joist, 1.953 m each, and trimming pieces
// of 1 m stand between them: 5.906 m in all, four hangers. Noggins are the rest.
func TestHeadersAreOrderedOfJoistDepth(t *testing.T) {
	p := planned(t, "r04-l-shape.yaml")
	l, h, n := lineOf(p, "timber.trimmer."), lineOf(p, "hanger.joist."), lineOf(p, "timber.noggin.")
	if l == nil || h == nil || n == nil {
		t.Fatalf("timber %v, hangers %v, noggins %v", l, h, n)
	}
	if math.Abs(l.Net-5.906) > 1e-6 || !strings.Contains(l.Description, "47 × 195 mm, C24") || !strings.Contains(l.Note, "engineer") {
		t.Errorf("%+v", l)
	}
	if h.Net != 4 || h.Gross != 4 || h.Ordered != 4 || !strings.Contains(h.Note, "engineer") {
		t.Errorf("%+v", h)
	}
	noggins, count := 0.0, 0
	for _, x := range p.Decks[0].Pieces() {
		switch {
		case framing.Trimmer(x) && slices.Contains(n.Pieces, x.Number):
			t.Errorf("%s, a %s, is ordered as a noggin", x.Number, x.Role)
		case x.Kind == settingout.Noggin && !framing.Trimmer(x):
			noggins += float64(x.LengthMM) / 1000
			count++
		}
	}
	if math.Abs(n.Net-noggins) > 1e-6 {
		t.Errorf("%.3f m of noggins ordered, %.3f set", n.Net, noggins)
	}
	wants(t, p, fmt.Sprint(count)+" noggins under unsupported edges; 2 headers and 2 trimming pieces of joist depth round openings, a joist hanger at "+
		"each end of a header, doubled where the engineer says")
}

// Where joists' depth is not in the file the timber is as deep as they are.
func TestHeadersOfUnknownDepth(t *testing.T) {
	job := clone(example(t, "r04-l-shape.yaml"))
	job.Decks[0].Base.JoistDepthMM, job.Decks[0].Base.TimberClass = 0, ""
	if l := lineOf(planOf(t, job), "timber.trimmer."); l == nil || !strings.Contains(l.Description, "as deep as the joists") ||
		strings.Contains(l.Description, "0 mm,") {
		t.Errorf("%+v", l)
	}
}

// Carrier boards' ends that no joist lies under are named where they are screwed.
func TestMethodNamesEndsInTheStructuralDeck(t *testing.T) {
	p := planned(t, "r04-l-shape.yaml")
	var ends []string
	for _, b := range p.Decks[0].SetOut.Of(settingout.Board) {
		if strings.Contains(b.Note, "no joist at an end") {
			ends = append(ends, b.Number)
		}
	}
	if len(ends) == 0 {
		t.Fatal("every end lies on a joist")
	}
	wants(t, p, "No joist lies under an end of "+ends[0])
	wants(t, p, "screw along those ends into the structural deck at 150 mm")
}
