package drawing

import (
	"fmt"
	"math"
	"strings"

	"gelwright/cure"
	"gelwright/laying"
	"gelwright/plan"
	"gelwright/scene"
)

// cureGroup is decks that harden alike, and so share a sheet.
type cureGroup struct {
	decks     []string
	mat, coat *laying.WetPass
}

// CureSheets draws how the passes harden, as for the office; then the doses of the largest
// mat and coat, weighed. A plan without wet work has none, and one whose doses were not
// weighed lacks that sheet.
func CureSheets(p *plan.Plan) ([]*Sheet, error) {
	out, err := hardeningSheets(p)
	if err != nil {
		return nil, err
	}
	if passes := weighed(p); len(passes) > 0 {
		s, err := frontierSheet(TitleOf(&p.Job, "Which dose, and how sure"), passes)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	Number(out)
	return out, nil
}

// hardeningSheets draws for each deck, or decks that harden alike, conversion and
// temperature of laminate and top coat over time with the range of every milestone.
func hardeningSheets(p *plan.Plan) ([]*Sheet, error) {
	groups := cureGroups(p)
	var out []*Sheet
	for _, g := range groups {
		name := "How it hardens"
		if len(groups) > 1 {
			name += ", deck " + strings.Join(g.decks, ", ")
		}
		s, err := cureSheet(TitleOf(&p.Job, name), g)
		if err != nil {
			return nil, fmt.Errorf("drawing %q: %w", name, err)
		}
		s.Office = true
		out = append(out, s)
	}
	return out, nil
}

// cureGroups takes the last mat and the last coat of each deck and puts decks together
// whose films, doses and temperatures are the same.
func cureGroups(p *plan.Plan) []cureGroup {
	var out []cureGroup
	for _, d := range p.Decks {
		g := cureGroup{decks: []string{d.Name}}
		for i := range p.Wet {
			told := p.Wet[i]
			w := &told
			if w.Deck != d.Name || len(w.Curve) == 0 {
				continue
			}
			told.Marks = w.Told(p.Job.Spec.TopCoat.Coats)
			if w.Kind == "mat" {
				g.mat = w
			} else {
				g.coat = w
			}
		}
		if g.mat == nil && g.coat == nil {
			continue
		}
		alike := false
		for k := range out {
			if hardensAlike(out[k].mat, g.mat) && hardensAlike(out[k].coat, g.coat) {
				out[k].decks, alike = append(out[k].decks, d.Name), true
				break
			}
		}
		if !alike {
			out = append(out, g)
		}
	}
	return out
}

func hardensAlike(a, b *laying.WetPass) bool {
	if a == nil || b == nil {
		return a == b
	}
	for _, m := range cure.Milestones() {
		if a.At(m) != b.At(m) {
			return false
		}
	}
	return a.Pct == b.Pct && a.DeckC == b.DeckC && a.PeakC == b.PeakC
}

// weighed are the passes whose doses were weighed, by kind; nil in place of a kind that
// was not. Where there is none it is empty.
func weighed(p *plan.Plan) []*laying.WetPass {
	out := []*laying.WetPass{nil, nil}
	found := false
	for k, kind := range []string{"mat", "top coat"} {
		for i := range p.Wet {
			if w := &p.Wet[i]; w.Kind == kind && w.Doses != nil && out[k] == nil {
				out[k], found = w, true
			}
		}
	}
	if !found {
		return nil
	}
	return out
}

func cureSheet(t Title, g cureGroup) (*Sheet, error) {
	s, err := BlankSheet(t, "A4 portrait", []KeyEntry{
		{"how far it has cured",
			[]scene.Item{scene.Line(scene.Meta{}, scene.Pen(scene.Thick), scene.Point{X: 0, Y: 2.5}, scene.Point{X: 14, Y: 2.5})}},
		{"temperature of the film",
			[]scene.Item{scene.Line(scene.Meta{}, scene.Stroke{WidthMM: scene.Medium, Dash: scene.Dashed}, scene.Point{X: 0, Y: 2.5},
				scene.Point{X: 14, Y: 2.5})}},
		{"nine cases in ten, with the likely time", rangeBar(0, 14, 6, 2.5)},
		{"not within 30 days", []scene.Item{never(11, 2.5)}},
	})
	if err != nil {
		return nil, err
	}
	b := s.Figure
	half := b.Height() / 2
	for i, w := range []*laying.WetPass{g.mat, g.coat} {
		if w == nil {
			continue
		}
		top := b.High.Y - float64(i)*half
		s.Add(curePanel(t.Locale, w, scene.Box{Low: scene.Point{X: b.Low.X + 2, Y: top - half + 3},
			High: scene.Point{X: b.High.X - 2, Y: top - 2}, Set: true})...)
	}
	return s, nil
}

// Room of a cure panel, mm.
const (
	cureNameMM  = 34.0 // names of milestones, and the scale of conversion
	cureWordsMM = 38.0 // their times in words, and the scale of temperature
	cureRowMM   = 5.0
	cureHeadMM  = 15.0
)

// Ends of the clock of a cure panel: it is a scale of ratios, since a gel is a matter of
// minutes and full cure one of days.
const cureFromMin, cureToMin = 10.0, 30 * 24 * 60.0

var cureTicks = []struct {
	min   float64
	words string
}{
	{15, "15 min"}, {30, ""}, {60, "1 h"}, {120, "2"}, {240, "4"}, {480, "8"}, {24 * 60, "1 day"}, {48 * 60, "2"}, {4 * 24 * 60, "4"},
	{8 * 24 * 60, "8"}, {16 * 24 * 60, "16"}, {cureToMin, "30"},
}

// curePanel draws one pass: a heading, the curve, and a row for each milestone on the
// same clock.
func curePanel(locale string, w *laying.WetPass, b scene.Box) []scene.Item {
	name := wetWords(w)
	var out []scene.Item
	text := func(x, y float64, words string, high float64, across scene.Align, bold bool) {
		out = append(out, scene.Text{At: scene.Point{X: x, Y: y}, Content: words, HeightMM: high, Across: across, Bold: bold})
	}
	words, high := fit(fmt.Sprintf("%s: mixed with %s %% at %s on a deck of %.0f °C", name, num(locale, w.Pct, 2), clockWords(w.MixAtMin),
		w.DeckC), b.Width(), true)
	text(b.Low.X, b.High.Y-4, words, high, scene.Start, true)
	film := fmt.Sprintf("%s kg of resin on a square metre; until it is fully cured the film gets as warm as %.0f °C (%.0f to %.0f)",
		num(locale, w.ResinKGPerM2, 2), w.PeakC, w.PeakLowC, w.PeakHighC)
	text(b.Low.X, b.High.Y-9, film, scene.TextSmall, scene.Start, false)
	marks := float64(len(w.Marks)) * cureRowMM
	chart := scene.Box{Low: scene.Point{X: b.Low.X + cureNameMM, Y: b.Low.Y + marks + 9},
		High: scene.Point{X: b.High.X - cureWordsMM, Y: b.High.Y - cureHeadMM}, Set: true}
	x := func(min float64) float64 {
		u := math.Log(min/cureFromMin) / math.Log(cureToMin/cureFromMin)
		return chart.Low.X + math.Max(0, math.Min(1, u))*chart.Width()
	}
	foot := b.Low.Y + 1
	grid := scene.Meta{Layer: "grid", Class: scene.Backdrop}
	for _, t := range cureTicks {
		out = append(out, scene.Line(grid, scene.Stroke{WidthMM: scene.Hairline, Colour: scene.MiddleGrey}, scene.Point{X: x(t.min), Y: foot},
			scene.Point{X: x(t.min), Y: chart.High.Y}))
		text(x(t.min), chart.Low.Y-5, t.words, scene.TextSmall, scene.Middle, false)
	}
	text(chart.Low.X-2, chart.Low.Y-5, "after mixing", scene.TextSmall, scene.End, false)
	out = append(out, scene.Shape{Meta: scene.Meta{Layer: "grid"}, Stroke: scene.Pen(scene.Thin),
		Paths: []scene.Path{scene.Rect(chart.Low.X, chart.Low.Y, chart.High.X, chart.High.Y)}})
	out = append(out, cureCurves(w, chart, x)...)
	for i, m := range w.Marks {
		y := chart.Low.Y - 9 - (float64(i)+0.5)*cureRowMM
		// A bucket gels sooner than what was spread of it: its sheet says when.
		label := m.Milestone
		if label == cure.AtGel.String() {
			label = "gel on the deck"
		}
		text(chart.Low.X-2, y-1.2, label, scene.TextSmall, scene.End, false)
		spoken := scene.Meta{Layer: "marks", Title: fmt.Sprintf("%s, %s: %s", name, m.Milestone, local(locale, laying.LastingRange(m.After)))}
		row := scene.Group{Meta: spoken, Items: []scene.Item{never(chart.High.X-2, y)}}
		if m.After.LikelyMin <= cureToMin {
			row.Items = rangeBar(x(m.After.LowMin), x(math.Min(m.After.HighMin, cureToMin)), x(m.After.LikelyMin), y)
		}
		out = append(out, row)
		text(chart.High.X+2, y-1.2, local(locale, laying.LastingRange(m.After)), scene.TextSmall, scene.Start, false)
	}
	return out
}

// cureCurves draws conversion and film temperature with their scales.
func cureCurves(w *laying.WetPass, chart scene.Box, x func(min float64) float64) []scene.Item {
	var out []scene.Item
	low, high := math.Inf(1), math.Inf(-1)
	for _, m := range w.Curve {
		if m.Min >= cureFromMin && m.Min <= cureToMin {
			low, high = math.Min(low, m.TempC), math.Max(high, m.TempC)
		}
	}
	step := 5.0
	if high-low > 25 {
		step = 10
	}
	low, high = step*math.Floor((low-1)/step), step*math.Ceil((high+1)/step)
	yOf := func(share float64) float64 { return chart.Low.Y + share*chart.Height() }
	for share := 0.0; share <= 1.001; share += 0.25 {
		if share > 0 && share < 1 {
			out = append(out, scene.Line(scene.Meta{Layer: "grid", Class: scene.Backdrop},
				scene.Stroke{WidthMM: scene.Hairline, Colour: scene.MiddleGrey}, scene.Point{X: chart.Low.X, Y: yOf(share)},
				scene.Point{X: chart.High.X, Y: yOf(share)}))
		}
		out = append(out, scene.Text{At: scene.Point{X: chart.Low.X - 2, Y: yOf(share) - 1.2}, Content: fmt.Sprintf("%.0f %%", 100*share),
			HeightMM: scene.TextSmall, Across: scene.End})
	}
	out = append(out, scene.Text{At: scene.Point{X: chart.Low.X - 14, Y: yOf(0.5)}, Content: "cured", HeightMM: scene.TextSmall,
		Across: scene.Middle, AngleDeg: 90})
	for c := low; c <= high+1e-9; c += step {
		y := yOf((c - low) / (high - low))
		out = append(out, scene.Line(scene.Meta{Layer: "grid"}, scene.Pen(scene.Hairline), scene.Point{X: chart.High.X, Y: y},
			scene.Point{X: chart.High.X + 1.5, Y: y}),
			scene.Text{At: scene.Point{X: chart.High.X + 3, Y: y - 1.2}, Content: fmt.Sprintf("%.0f °C", c), HeightMM: scene.TextSmall})
	}
	var cured, warm []scene.Point
	for _, m := range w.Curve {
		if m.Min < cureFromMin || m.Min > cureToMin {
			continue
		}
		cured = append(cured, scene.Point{X: x(m.Min), Y: yOf(math.Max(0, math.Min(1, m.Alpha)))})
		warm = append(warm, scene.Point{X: x(m.Min), Y: yOf((m.TempC - low) / (high - low))})
	}
	return append(out,
		scene.Line(scene.Meta{Layer: "curves", Title: "Temperature of the film over time"},
			scene.Stroke{WidthMM: scene.Medium, Dash: scene.Dashed}, thinned(warm)...),
		scene.Line(scene.Meta{Layer: "curves", Title: "How far it has cured over time"}, scene.Pen(scene.Thick), thinned(cured)...))
}

// thinned leaves out points that lie within a tenth of a millimetre of the line without them.
func thinned(p []scene.Point) []scene.Point {
	if len(p) < 3 {
		return p
	}
	a, b := p[0], p[len(p)-1]
	far, at := 0.1, 0
	d := b.Sub(a)
	for i := 1; i < len(p)-1; i++ {
		off := p[i].Distance(a)
		if l := d.Length(); l > 0 {
			off = math.Abs(d.Cross(p[i].Sub(a))) / l
		}
		if off > far {
			far, at = off, i
		}
	}
	if at == 0 {
		return []scene.Point{a, b}
	}
	left := thinned(p[:at+1])
	return append(left[:len(left):len(left)], thinned(p[at:])[1:]...)
}

// rangeBar is a bar from low to high with a stroke at the likely.
func rangeBar(low, high, likely, y float64) []scene.Item {
	high = math.Max(high, low+0.6)
	return []scene.Item{
		scene.Shape{Stroke: scene.Pen(scene.Thin), Filled: true, Fill: scene.MiddleGrey, Paths: []scene.Path{scene.Rect(low, y-1, high, y+1)}},
		scene.Line(scene.Meta{}, scene.Pen(scene.Heavy), scene.Point{X: likely, Y: y - 1.7}, scene.Point{X: likely, Y: y + 1.7}),
	}
}

// never is the sign for a milestone that is not reached: an arrow out of the picture.
func never(x, y float64) scene.Item {
	return scene.Group{Items: []scene.Item{
		scene.Line(scene.Meta{}, scene.Pen(scene.Medium), scene.Point{X: x - 5, Y: y}, scene.Point{X: x, Y: y}),
		scene.Arrowhead(scene.Point{X: x + 2, Y: y}, 0, 2.5),
	}}
}

// wetWords names a pass.
func wetWords(w *laying.WetPass) string {
	if w.Kind == "top coat" {
		return fmt.Sprintf("Top coat %d", w.Layer)
	}
	return fmt.Sprintf("Laminate, layer %d", w.Layer)
}

func clockWords(min float64) string {
	n := int(math.Round(min))
	return fmt.Sprintf("%02d:%02d", n/60, n%60)
}
