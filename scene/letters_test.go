package scene

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"gelwright/scene/lettering"
)

var update = flag.Bool("update", false, "measure the letters anew")

// lastRune is beyond all that the fonts have; lacked is one that they have not.
const (
	lastRune = 0x1ffff
	lacked   = 1
)

// What is known of the letters is what is measured of the fonts: of every rune that they have, and of the box for others.
func TestLettersAreThoseOfTheFonts(t *testing.T) {
	t.Parallel()
	var buf sfnt.Buffer
	var box, known strings.Builder // the box comes first: what follows takes its place
	runes := 0
	for r := range rune(lastRune + 1) {
		var both [2]letter
		has := [2]bool{}
		for weight := range both {
			f := lettering.Font(weight == 1)
			idx, err := f.GlyphIndex(&buf, r)
			if err != nil {
				t.Fatal(err)
			}
			has[weight] = idx != 0
			bounds, advance, err := f.GlyphBounds(&buf, idx, fixed.I(measurePPEM), font.HintingNone)
			if err != nil {
				t.Fatal(err)
			}
			both[weight] = letter{float64(advance), -float64(bounds.Min.Y), float64(bounds.Max.Y)}
		}
		if has[0] != has[1] {
			t.Errorf("%q is in one font alone", r)
		}
		p, q := both[0], both[1]
		line := fmt.Sprintln(int(r), int(p.advance), int(p.rise), int(p.drop), int(q.advance), int(q.rise), int(q.drop))
		switch {
		case has[0]:
			runes++
			known.WriteString(line)
		case r == lacked:
			fmt.Fprint(&box, "-", line)
		}
		if got := letters().of(r); !*update && got != both {
			t.Fatalf("%q: known %v, measured %v", r, got, both)
		}
		if lacks := len(Lacks(string(r))) > 0; !*update && lacks == has[0] && string(r) != "\uFFFD" {
			t.Fatalf("%q: it is said to be lacking: %v", r, lacks)
		}
	}
	if *update {
		if err := os.WriteFile("letters.txt", []byte(box.String()+known.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if runes < 600 {
		t.Errorf("%d letters alone were measured", runes)
	}
}
