package drawing

import (
	"fmt"
	"math"

	"gelwright/cure"
	"gelwright/laying"
	"gelwright/scene"
	"gelwright/working"
)

// frontierSheet weighs the doses of one mat and one coat: the chance of being laid
// before it gels against that of being safe from rain by the evening.
func frontierSheet(t Title, passes []*laying.WetPass) (*Sheet, error) {
	stroke := func(st scene.Stroke) []scene.Item {
		return []scene.Item{scene.Line(scene.Meta{}, st, scene.Point{X: 0, Y: 2.5}, scene.Point{X: 14, Y: 2.5})}
	}
	s, err := BlankSheet(t, "A4 portrait", []KeyEntry{
		{"laid before it gels, from the bucket", stroke(laidStroke)},
		{"the same, poured out at once and rolled", stroke(pouredStroke)},
		{"ready in time", stroke(readyStroke)},
		{"both chances at their targets", bothHatch(scene.Rect(0, 0.5, 14, 4.5))},
	})
	if err != nil {
		return nil, err
	}
	b := s.Figure
	half := b.Height() / 2
	for i, w := range passes {
		if w == nil {
			continue
		}
		top := b.High.Y - float64(i)*half
		s.Add(frontierPanel(t.Locale, w, scene.Box{Low: scene.Point{X: b.Low.X + 2, Y: top - half + 3},
			High: scene.Point{X: b.High.X - 2, Y: top - 2}, Set: true})...)
	}
	return s, nil
}

// Chances wanted where a goal names none.
const laidWanted, readyWanted = 0.95, 0.90

var (
	laidStroke   = scene.Pen(scene.Thick)
	pouredStroke = scene.Stroke{WidthMM: scene.Medium, Dash: scene.Dashed}
	readyStroke  = scene.Stroke{WidthMM: scene.Thick, Dash: scene.Chain}
)

// bothHatch marks doses that do both.
func bothHatch(p scene.Path) []scene.Item {
	return scene.Diagonal(2.5).Cut(scene.Meta{Layer: "both", Class: scene.Backdrop}, scene.DarkGrey, p)
}

// frontierPanel draws chances over the dose, the doses that do both, the choice, and
// in words what the choice is or what would help.
func frontierPanel(locale string, w *laying.WetPass, b scene.Box) []scene.Item {
	advice := w.Doses
	var out []scene.Item
	text := func(x, y float64, words string, high float64, across scene.Align, bold bool) {
		out = append(out, scene.Text{At: scene.Point{X: x, Y: y}, Content: words, HeightMM: high, Across: across, Bold: bold})
	}
	head, high := fit(fmt.Sprintf("%s: a bucket of %s kg", wetWords(w), num(locale, advice.KG, 1)), b.Width(), true)
	text(b.Low.X, b.High.Y-4, head, high, scene.Start, true)
	lines := frontierWords(w)
	y := b.High.Y - 9
	for _, l := range lines {
		for _, part := range wrap(local(locale, l), scene.TextSmall, b.Width()) {
			text(b.Low.X, y, part, scene.TextSmall, scene.Start, false)
			y -= 4
		}
	}
	chart := scene.Box{Low: scene.Point{X: b.Low.X + 16, Y: b.Low.Y + 10}, High: scene.Point{X: b.High.X - 26, Y: y - 9}, Set: true}
	n := len(advice.Frontier) / 2
	bucket, poured := advice.Frontier[:n], advice.Frontier[n:]
	least, most := bucket[0].Pct, bucket[n-1].Pct
	x := func(pct float64) float64 { return chart.Low.X + chart.Width()*(pct-least)/(most-least) }
	yOf := func(p float64) float64 { return chart.Low.Y + chart.Height()*p }
	grid := scene.Meta{Layer: "grid", Class: scene.Backdrop}
	pale := scene.Stroke{WidthMM: scene.Hairline, Colour: scene.MiddleGrey}
	for p := 0.0; p <= 1.001; p += 0.25 {
		if p > 0 && p < 1 {
			out = append(out, scene.Line(grid, pale, scene.Point{X: chart.Low.X, Y: yOf(p)}, scene.Point{X: chart.High.X, Y: yOf(p)}))
		}
		text(chart.Low.X-2, yOf(p)-1.2, fmt.Sprintf("%.0f", 100*p), scene.TextSmall, scene.End, false)
	}
	out = append(out, scene.Text{At: scene.Point{X: chart.Low.X - 11, Y: chart.Centre().Y}, Content: "in 100 cases",
		HeightMM: scene.TextSmall, Across: scene.Middle, AngleDeg: 90})
	for pct := math.Ceil(2*least-1e-9) / 2; pct <= most+1e-9; pct += 0.5 {
		out = append(out, scene.Line(grid, pale, scene.Point{X: x(pct), Y: chart.Low.Y}, scene.Point{X: x(pct), Y: chart.High.Y}))
		text(x(pct), chart.Low.Y-4, num(locale, pct, 1), scene.TextSmall, scene.Middle, false)
	}
	text(chart.Centre().X, b.Low.Y+0.5, "catalyst, per cent by mass of resin", scene.TextSmall, scene.Middle, false)
	for _, target := range []struct {
		p, shift float64
		words    string
	}{{laidWanted, 0.8, "wanted: laid"}, {readyWanted, -1.8, "wanted: ready"}} {
		out = append(out, scene.Line(scene.Meta{Layer: "targets"}, scene.Stroke{WidthMM: scene.Thin, Dash: scene.Dotted},
			scene.Point{X: chart.Low.X, Y: yOf(target.p)}, scene.Point{X: chart.High.X, Y: yOf(target.p)}))
		text(chart.High.X+4, yOf(target.p)-1.2+target.shift, target.words, scene.TextSmall, scene.Start, false)
	}
	out = append(out, bothRuns(bucket, poured, x, yOf)...)
	out = append(out, scene.Shape{Meta: scene.Meta{Layer: "grid"}, Stroke: scene.Pen(scene.Thin),
		Paths: []scene.Path{scene.Rect(chart.Low.X, chart.Low.Y, chart.High.X, chart.High.Y)}})
	for _, c := range []struct {
		name    string
		options []cure.Option
		of      func(cure.Option) float64
		stroke  scene.Stroke
	}{
		{"Laid before it gels, poured out", poured, func(o cure.Option) float64 { return o.Laid }, pouredStroke},
		{"Ready in time", bucket, func(o cure.Option) float64 { return o.Ready }, readyStroke},
		{"Laid before it gels, from the bucket", bucket, func(o cure.Option) float64 { return o.Laid }, laidStroke},
	} {
		var line []scene.Point
		for _, o := range c.options {
			line = append(line, scene.Point{X: x(o.Pct), Y: yOf(c.of(o))})
		}
		out = append(out, scene.Line(scene.Meta{Layer: "curves", Title: c.name}, c.stroke, line...))
	}
	return append(out, frontierChoice(locale, w, chart, x, yOf)...)
}

// bothRuns hatches the doses at which both targets are met, by whichever technique.
func bothRuns(bucket, poured []cure.Option, x, yOf func(float64) float64) []scene.Item {
	var out []scene.Item
	for i := range bucket {
		if !bucket[i].Meets && !poured[i].Meets {
			continue
		}
		from, to := bucket[i].Pct, bucket[i].Pct
		if i > 0 {
			from = (from + bucket[i-1].Pct) / 2
		}
		if i+1 < len(bucket) {
			to = (to + bucket[i+1].Pct) / 2
		}
		out = append(out, bothHatch(scene.Rect(x(from), yOf(0), x(to), yOf(1)))...)
	}
	return out
}

// frontierChoice marks the weighed dose with rings on its two chances, and the dose of
// the plan with a line.
func frontierChoice(locale string, w *laying.WetPass, chart scene.Box, x, yOf func(float64) float64) []scene.Item {
	advice := w.Doses
	c := advice.Chosen
	var out []scene.Item
	for _, p := range []float64{c.Laid, c.Ready} {
		out = append(out, scene.Shape{Meta: scene.Meta{Layer: "choice"}, Stroke: scene.Pen(scene.Heavy), Filled: true, Fill: scene.White,
			Paths: []scene.Path{scene.Circle(scene.Point{X: x(c.Pct), Y: yOf(p)}, 1.6)}})
	}
	least, most := advice.Frontier[0].Pct, advice.Frontier[len(advice.Frontier)-1].Pct
	at := func(pct float64) float64 { return x(math.Max(least, math.Min(most, pct))) }
	type label struct {
		pct   float64
		words string
	}
	labels := []label{{c.Pct, num(locale, c.Pct, 2) + " %, weighed"}, {w.Left.Pct, num(locale, w.Left.Pct, 2) + " %, planned"}}
	if math.Abs(c.Pct-w.Left.Pct) < 0.025 {
		labels = []label{{c.Pct, num(locale, c.Pct, 2) + " %, weighed and planned"}}
	} else if c.Pct > w.Left.Pct {
		labels[0], labels[1] = labels[1], labels[0]
	}
	for i, l := range labels {
		px, row := at(l.pct), 0.0
		t := scene.Text{Content: l.words, HeightMM: scene.TextSmall}
		room := scene.Measure(l.words, scene.TextSmall, false).WidthMM + 3
		// The left one's words lie to its left and the right one's to its right; where the
		// sheet ends, they lie higher, over the other's line.
		left := len(labels) == 2 && i == 0
		if left && px-room < chart.Low.X-14 || !left && px+room > chart.High.X+24 {
			left, row = !left, 1
		}
		up := chart.High.Y + 3 + 4*row
		t.At = scene.Point{X: px + 2, Y: up}
		if left {
			t.At.X, t.Across = px-2, scene.End
		}
		out = append(out, scene.Line(scene.Meta{Layer: "choice"}, scene.Pen(scene.Thin), scene.Point{X: px, Y: up + 2},
			scene.Point{X: px, Y: chart.Low.Y}), t)
	}
	return out
}

// frontierWords says what the picture comes to.
func frontierWords(w *laying.WetPass) []string {
	advice := w.Doses
	c := advice.Chosen
	chances := func(o cure.Option) string {
		return fmt.Sprintf("%.2f %%, %s: laid in time in %s of 100, ready in %s of 100", o.Pct, o.Technique, working.Chance(o.Laid),
			working.Chance(o.Ready))
	}
	lines := []string{"Weighed: " + chances(c) + "."}
	if !c.Meets {
		lines = []string{fmt.Sprintf("No dose does both (%.0f and %.0f of 100 wanted). Nearest: %s.", 100*laidWanted, 100*readyWanted,
			chances(c))}
		works := 0
		for _, m := range advice.Measures {
			if m.Works && works < 3 {
				works++
				lines = append(lines, "Would help: "+m.Text+", then "+chances(m.Best)+".")
			}
		}
		if works == 0 {
			lines = append(lines, "No single measure does; start earlier in the day, or wait for another day.")
		}
	}
	lines = append(
		[]string{fmt.Sprintf("Bucket %d, the largest, is laid in %.0f min and should be %s within %s, by two hours after the day's end.",
			w.Left.Bucket, advice.LayMin, advice.Ready, laying.Lasting(advice.ByMin))}, lines...)
	return append(lines, fmt.Sprintf("The plan takes %.2f %% by the rule of the dose card, which looks at the gel alone.", w.Left.Pct))
}
