package drawing

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"gelwright/plan"
	"gelwright/roof"
	"gelwright/settingout"
)

// A cold overlay shows, from the top: new board, old covering, old deck, void, insulation.
func TestColdOverlayShowsWhatStays(t *testing.T) {
	job := garage()
	job.Work = roof.Work{Kind: "overlay", OldCovering: "felt", OldCoverings: 2, OldDeck: "chipboard"}
	job.Spec.Build, job.Spec.Insulation = "cold", &roof.Insulation{Material: "mineral wool", ThicknessMM: 100}
	job.Decks[0].Base = roof.Base{Kind: "sound deck"}
	list := func() []string {
		var out []string
		for _, l := range layersOf(job, job.Decks[0]) {
			out = append(out, l.words)
		}
		return out
	}
	want := []string{"OSB/3 18", "existing felt, 2 coverings", "existing deck, chipboard", "ventilated void, its height to be measured", "mineral wool 100 between joists"}
	if got := list(); !slices.Equal(got, want) {
		t.Errorf("layers %q", got)
	}
	job.Spec.VoidMM, job.Work.OldCovering = 60, "none"
	if got := list(); !slices.Contains(got, "ventilated void 60") || slices.ContainsFunc(got, func(w string) bool { return strings.Contains(w, "covering") }) {
		t.Errorf("with a void of 60 mm and no covering: %q", got)
	}
}

// A label says what a corner joins and on which hand, and from which stack a board is.
func TestLabelsTellCornersAndStacksApart(t *testing.T) {
	d := &plan.Deck{Structural: &settingout.SetOut{Pieces: []settingout.Piece{{Number: "SB1", Kind: settingout.Board, Stock: 2, Role: "field", Edge: -1}}}}
	d.SetOut.Pieces = []settingout.Piece{{Number: "B1", Kind: settingout.Board, Stock: 2, Role: "field", Edge: -1}}
	for want, x := range map[string]settingout.Piece{"structural board 2": d.Structural.Pieces[0], "carrier board 2": d.SetOut.Pieces[0],
		"external drip to kerb, left hand, edge 1": {Kind: settingout.Corner, Role: "preformed external corner", Material: "corner external drip to kerb, left hand", Edge: 0}} {
		if got := placeOf(make([]roof.Edge, 1), x, stackOf(d, x)); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Words made elsewhere get the decimal mark of the job.
func TestWordsTakeTheLocalesMark(t *testing.T) {
	got := local("de-DE", "2.9–6.7 h at 1.25 %. Then 3")
	if regexp.MustCompile(`[0-9]\.[0-9]`).MatchString(got) || !strings.Contains(got, "2,9–6,7 h at 1,25 %. Then 3") {
		t.Error(got)
	}
	if got := local("en-GB", "2.9 h"); got != "2.9 h" {
		t.Error(got)
	}
}
