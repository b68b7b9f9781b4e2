package rooffile

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"gelwright/plane"
	"gelwright/survey"
	"gelwright/tracing"
)

// toAsk stands where only a person knows the word; the reader says which words may stand there.
const toAsk = "ask"

// Sketch writes the beginning of a roof file from traced outlines: what was drawn is in it, and ask stands for what a drawing
// does not say.
func Sketch(t tracing.Traced, name, date, from string) []byte {
	b := sketchHead(name, date, "Traced from "+from+", taken in "+t.Unit)
	b.WriteString("decks:\n")
	for i, o := range t.Outlines {
		deck := o.Layer
		if deck == "" || len(t.Outlines) > 1 {
			deck = strings.TrimSpace(fmt.Sprintf("%s %d", o.Layer, i+1))
		}
		fmt.Fprintf(b, "  - name: %s\n    outline: %s\n", quoted(deck), corners(o.Ring))
		edges(b, o.Ring, "    ")
		fmt.Fprintf(b, "    fall: {towards: %s, ratio: 40}\n", toAsk)
		if len(o.Openings) > 0 {
			b.WriteString("    openings:\n")
		}
		for k, h := range o.Openings {
			where := "corners: " + corners(h.Ring)
			if low, high := h.Ring.Bounds(); h.Round {
				where = fmt.Sprintf("centre: [%s, %s], diameter_m: %s", short((low.X+high.X)/2),
					short((low.Y+high.Y)/2), short(high.X-low.X))
			}
			fmt.Fprintf(b, "      - {name: %s, kind: %s, %s}\n", quoted(fmt.Sprintf("opening %d", k+1)), toAsk, where)
		}
	}
	return b.Bytes()
}

// SketchWalk does the same from taped lengths.
func SketchWalk(w survey.Walk, more []survey.Measurement, name, date, from string) []byte {
	b := sketchHead(name, date, "Lengths of "+from)
	fmt.Fprintf(b, "deck:\n  survey:\n    walk: %s\n", quoted(w.String()))
	if len(more) > 0 {
		b.WriteString("    measured:\n")
	}
	for _, m := range more {
		fmt.Fprintf(b, "      - {from: %s, to: %s, length_m: %s}\n", quoted(m.From), quoted(m.To), short(m.Value))
	}
	b.WriteString("  edges:\n")
	for i, l := range w {
		fmt.Fprintf(b, "    - %s # edge %d of %d: %s–%s, %s m\n", toAsk, i+1, len(w), survey.CornerName(i), survey.CornerName((i+1)%len(w)),
			short(l.LengthM))
	}
	fmt.Fprintf(b, "  fall: {towards: %s, ratio: 40}\n", toAsk)
	return b.Bytes()
}

func sketchHead(name, date, from string) *bytes.Buffer {
	b := &bytes.Buffer{}
	fmt.Fprintf(b, "# %s. Where it says %s: what each edge meets, which way the water falls, what an opening is.\n", oneLine(from), toAsk)
	fmt.Fprintf(b, "# gelwright schema --page names every field; gelwright check FILE says what is still missing.\n")
	fmt.Fprintf(b, "version: %d\nname: %s\ndate: %s\n", Version, quoted(name), date)
	return b
}

func edges(b *bytes.Buffer, r plane.Ring, indent string) {
	fmt.Fprintf(b, "%sedges:\n", indent)
	for i := range r {
		e := r.Edge(i)
		kind := ""
		if !e.Straight() {
			kind = " arc,"
		}
		fmt.Fprintf(b, "%s  - %s # edge %d of %d:%s %.3f m, from (%s, %s) to (%s, %s)\n", indent, toAsk, i+1, len(r), kind, e.Length(),
			short(e.A.X), short(e.A.Y), short(e.B.X), short(e.B.Y))
	}
}

func corners(r plane.Ring) string {
	list := make([]string, len(r))
	for i, v := range r {
		list[i] = "[" + short(v.X) + ", " + short(v.Y)
		if v.Bulge != 0 {
			list[i] += ", " + strconv.FormatFloat(v.Bulge, 'f', 8, 64)
		}
		list[i] += "]"
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// short prints metres to a tenth of a millimetre.
func short(x float64) string { return strconv.FormatFloat(math.Round(x*1e4)/1e4, 'f', -1, 64) }

func quoted(s string) string { return strconv.Quote(oneLine(s)) }

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
