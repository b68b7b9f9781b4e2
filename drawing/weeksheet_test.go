package drawing

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/scene/svg"
)

// aWeek is an invented week of three crews.
func aWeek() *Week {
	w := &Week{Name: "2026-W23", Firm: "Fieldroof (invented firm)",
		Days: [7]string{"Mon 1 Jun", "Tue 2 Jun", "Wed 3 Jun", "Thu 4 Jun", "Fri 5 Jun", "Sat 6 Jun", "Sun 7 Jun"},
		Rows: []WeekRow{{Mark: "H", Name: "Harbour", People: 2}, {Mark: "N", Name: "North and the islands", People: 1}, {}}}
	w.Rows[0].Days[1] = []WeekStand{{Title: "Garage at Lower Mill", Site: "Lower Mill, Sedgefold", Work: "strip, boards, trims",
		Chance: "94 in 100 from this day, begin 08:00", Note: "bring the long ladder"}}
	w.Rows[0].Days[2] = []WeekStand{{Title: "Garage at Lower Mill", Work: "mat, top coat", Chance: "not known"},
		{Title: "Porch", Part: "afternoon", Site: "7 Church Lane"}}
	w.Rows[1].Days[4] = []WeekStand{{Title: "Dachbodenausbauverschalung", Site: "Ödenweiler"}}
	w.Rows[2].Days[6] = []WeekStand{{Title: "Bay window", Site: "Quay House"}}
	w.Fetch = []WeekFetch{{Title: "Garage at Lower Mill", Lines: []string{"laminating resin: 3 × 20 kg pail", "catalyst: 1 kg", "mat 450 g/m²: 1 roll"}}}
	w.Roofs = []WeekFetch{{Title: "Garage at Lower Mill", Lines: []string{"Lower Mill, Mill Yard, Sedgefold", "by the yard, key under the blue pot, dog",
		"Ada Quill, 020 7946 0018"}}, {Title: "Porch", Lines: []string{"Bo Reed, 020 7946 0021"}}}
	w.Warnings = []string{"H stands twice on Wed 3 Jun"}
	return w
}

func TestAWeekOnOneSheet(t *testing.T) {
	s, err := WeekSheet(aWeek())
	if err != nil {
		t.Fatal(err)
	}
	if s.Scene.WidthMM != 297 || s.Scene.HeightMM != 210 {
		t.Errorf("the sheet is %g × %g", s.Scene.WidthMM, s.Scene.HeightMM)
	}
	if c := s.Scene.Clashes(0); len(c) != 0 {
		t.Errorf("lettering clashes: %v", c)
	}
	golden(t, "week.svg", svg.Bytes(s.Scene, svg.Options{}))
}

// A sheet that is fuller than it can be says what it leaves out, and never letters over its cells.
func TestAFullWeek(t *testing.T) {
	w := aWeek()
	w.Rows = nil
	for i := range 8 {
		r := WeekRow{Mark: fmt.Sprint(i), Name: "Crew", People: 3}
		for d := range r.Days {
			r.Days[d] = []WeekStand{{Title: "Wrap-round kitchen at Fennel Close", Site: "12 Fennel Close, Marwick Green", Work: "boards, trims, bandage",
				Chance: "94 in 100 from this day", Note: "key with the neighbour at number 14"}}
		}
		w.Rows = append(w.Rows, r)
	}
	for range 40 {
		w.Fetch = append(w.Fetch, w.Fetch[0])
	}
	s, err := WeekSheet(w)
	if err != nil {
		t.Fatal(err)
	}
	if c := s.Scene.Clashes(0); len(c) != 0 {
		t.Errorf("lettering clashes: %v", c[0])
	}
	text := string(svg.Bytes(s.Scene, svg.Options{}))
	if !strings.Contains(text, "more lines: see Order of each roof") || !strings.Contains(text, "… ") {
		t.Errorf("what is left out is not said:\n%s", text)
	}
	for len(w.Rows) < 40 {
		w.Rows = append(w.Rows, w.Rows[0])
	}
	if _, err := WeekSheet(w); err == nil || !strings.Contains(err.Error(), "40 crews do not fit one sheet") {
		t.Errorf("forty crews: %v", err)
	}
	if s, err := WeekSheet(&Week{Name: "2026-W01"}); err != nil || !strings.Contains(string(svg.Bytes(s.Scene, svg.Options{})), "No crew is named") {
		t.Errorf("an empty week: %v", err)
	}
}

// Letters that the lettering lacks are not passed over in silence: the foot names them.
func TestAWeekWithNamesThatCannotBePrinted(t *testing.T) {
	w := aWeek()
	w.Rows[0].Days[1][0].Title = "\u5c71\u7530 roof"
	w.Roofs[1].Lines[0] = "\u5c71, 020"
	s, err := WeekSheet(w)
	if err != nil {
		t.Fatal(err)
	}
	text := string(svg.Bytes(s.Scene, svg.Options{}))
	for _, want := range []string{"?? roof", "(U+5C71, U+7530)", "?, 020"} {
		if !strings.Contains(text, want) {
			t.Errorf("it does not say %q", want)
		}
	}
	if strings.ContainsRune(text, '\u5c71') {
		t.Error("a letter is left that cannot be printed")
	}
}
