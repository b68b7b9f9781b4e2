package drawing

import (
	"strings"
	"testing"

	"gelwright/internal/examples"
	"gelwright/roof"
	"gelwright/scene"
	"gelwright/settingout"
)

// Bandage at a kerb and at a pipe is drawn with the sizes that its pieces have, at a scale of its own, and sections
// bear dimensions.
func TestBandageAtOpeningsIsDrawn(t *testing.T) {
	p := examples.Plan(t, "r04-l-shape")
	var o *roof.Opening
	for i := range p.Job.Decks[0].Openings {
		o = &p.Job.Decks[0].Openings[i]
	}
	if o == nil {
		t.Fatal("the roof has no opening")
	}
	k := kerbFootOf(&p.Job, *o)
	patches, mats := 0, 0
	for _, x := range p.Decks[0].SetOut.Pieces {
		switch {
		case x.Kind == settingout.Patch && x.Role == "kerb corner":
			patches++
			if float64(x.LengthMM) != k.patch {
				t.Errorf("%s is %d mm wide, drawn as %g", x.Number, x.LengthMM, k.patch)
			}
		case x.Kind == settingout.Mat && x.Upright && x.Opening == o.Name:
			mats++
			if float64(x.WidthMM) != k.matMM() {
				t.Errorf("%s is %d mm wide, drawn as %g", x.Number, x.WidthMM, k.matMM())
			}
		case x.Kind == settingout.Bandage && x.Role == "kerb" && float64(x.WidthMM) != k.bandage:
			t.Errorf("%s is %d mm wide, drawn as %g", x.Number, x.WidthMM, k.bandage)
		}
	}
	if patches == 0 || mats == 0 {
		t.Errorf("%d patches and %d mats at %s", patches, mats, o.Name)
	}
	sheets, err := Sections(&p.Job)
	if err != nil {
		t.Fatal(err)
	}
	drawn, dimensions := 0, 0
	var walk func(items []scene.Item)
	walk = func(items []scene.Item) {
		for _, x := range items {
			switch x := x.(type) {
			case scene.Group:
				if strings.Contains(x.Title, "Bandage at a kerb") {
					drawn++
				}
				walk(x.Items)
			case scene.Text:
				if x.Content == "75" || x.Content == "150" {
					dimensions++
				}
			}
		}
	}
	for _, s := range sheets {
		walk(s.Scene.Items)
	}
	if drawn != 1 || dimensions < 3 {
		t.Errorf("bandage is drawn %d times, %d dimensions of 75 and 150 stand on the sections", drawn, dimensions)
	}
}
