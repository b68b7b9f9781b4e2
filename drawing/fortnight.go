package drawing

import (
	"fmt"
	"time"

	"gelwright/programme"
	"gelwright/scene"
	"gelwright/weather"
)

// reasonLetters name the limits in a cell of a few millimetres.
var reasonLetters = map[weather.Limit]string{
	weather.LimitAirMin: "C", weather.LimitAirRising: "C", weather.LimitDeckMin: "C", weather.LimitDeckRising: "C",
	weather.LimitAirMax: "H", weather.LimitDeckMax: "H", weather.LimitRH: "U", weather.LimitDew: "D", weather.LimitDewAhead: "D",
	weather.LimitRain: "R", weather.LimitRainAhead: "R", weather.LimitRainProb: "R", weather.LimitWind: "W", weather.LimitGust: "W",
	weather.LimitFrost: "F", weather.LimitLight: "L",
}

const lettersWords = "C cold  H heat  D dew  U humidity  R rain  W wind  F frost ahead  L light"

// Fortnight draws up to sixteen days, one column a day and one row an hour, for each
// kind of work: go, wait or no-go, with the limit that binds by its letter and the
// chance of a go.
func Fortnight(t Title, works []programme.WorkHours, zone *time.Location) (*Sheet, error) {
	if len(works) == 0 || len(works[0].Hours) == 0 {
		return nil, fmt.Errorf("drawing %q: there are no hours to show. Give a forecast", t.Drawing)
	}
	at := func(x, y float64) scene.Point { return scene.Point{X: x, Y: y} }
	key := []KeyEntry{
		{"go: limits hold", goCell(0, 0.3, 6, 4.4, "")},
		{"wait: later that day",
			append(waitCell(0, 0.3, 6, 4.4), scene.Text{At: at(3, 2.5), Content: "R", HeightMM: scene.TextSmall, Across: scene.Middle,
				Up: scene.Middle})},
		{"no-go, and why",
			[]scene.Item{scene.Text{At: at(3, 2.5), Content: "R", HeightMM: scene.TextSmall, Across: scene.Middle, Up: scene.Middle}}},
	}
	s, err := BlankSheet(t, "A4 landscape", nil)
	if err != nil {
		return nil, err
	}
	footKey(s, key)
	b := s.Figure
	s.Add(scene.Text{At: at(b.Low.X+2, b.Low.Y+1.5), Content: lettersWords, HeightMM: scene.TextSmall})
	s.Add(scene.Text{At: at(b.High.X-2, b.Low.Y+1.5), Content: "foot of a column: most hours of go in a row", HeightMM: scene.TextSmall,
		Across: scene.End})
	low := b.Low.Y + 7
	wide := (b.Width() - 4) / float64(len(works))
	for i, w := range works {
		x := b.Low.X + 2 + wide*float64(i)
		s.Add(fortnightTable(w, scene.Box{Low: at(x, low), High: at(x+wide-5, b.High.Y), Set: true}, zone)...)
	}
	return s, nil
}

// fortnightTable draws the days of one kind of work.
func fortnightTable(o programme.WorkHours, b scene.Box, zone *time.Location) []scene.Item {
	type cell struct {
		h  programme.Hour
		is bool
	}
	var days []time.Time
	table := map[[2]int]cell{}
	first, last := 24, 0
	for _, h := range o.Hours {
		t := h.Time.In(zone)
		midnight := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, zone)
		if len(days) == 0 || !days[len(days)-1].Equal(midnight) {
			if len(days) == 16 {
				break
			}
			days = append(days, midnight)
		}
		table[[2]int{len(days) - 1, t.Hour()}] = cell{h, true}
		if h.Working {
			first, last = min(first, t.Hour()), max(last, t.Hour())
		}
	}
	if first > last {
		first, last = 8, 16
	}
	const hourMM, headMM, titleMM = 7.0, 11.0, 7.0
	w := (b.Width() - hourMM) / float64(len(days))
	rows := last - first + 1
	h := (b.Height() - headMM - titleMM - 6) / float64(rows)
	h = min(h, 12)
	top := b.High.Y - titleMM - headMM
	text := func(x, y float64, words string, across scene.Align, bold bool) scene.Item {
		return scene.Text{At: scene.Point{X: x, Y: y}, Content: words, HeightMM: scene.TextSmall, Across: across, Up: scene.Middle, Bold: bold}
	}
	items := []scene.Item{scene.Text{At: scene.Point{X: b.Low.X, Y: b.High.Y - 4.5}, Content: o.Work, HeightMM: scene.TextUsual, Bold: true}}
	for r := range rows {
		items = append(items, text(b.Low.X+hourMM-1.5, top-h*(float64(r)+0.5), fmt.Sprintf("%02d", first+r), scene.End, false))
	}
	for c, d := range days {
		x := b.Low.X + hourMM + w*float64(c)
		items = append(items, text(x+w/2, top+8, d.Format("Mon")[:2], scene.Middle, d.Weekday() == time.Saturday ||
			d.Weekday() == time.Sunday), text(x+w/2, top+3, fmt.Sprint(d.Day()), scene.Middle, false))
		best, run := 0, 0
		for r := range rows {
			x0, y0 := x, top-h*float64(r+1)
			k := table[[2]int{c, first + r}]
			if !k.is {
				run = 0
				continue
			}
			title := fmt.Sprintf("%s %s: %s, %.0f %%", o.Work, k.h.Time.In(zone).Format("Mon 2 Jan 15:04"), k.h.Verdict, 100*k.h.P)
			if k.h.Reason != "" {
				title += ", " + k.h.Reason
			}
			letter := reasonLetters[weather.Limit(k.h.Limit)]
			switch k.h.Verdict {
			case weather.Go:
				items = append(items, goCell(x0, y0, w, h, title)...)
				run++
				best = max(best, run)
				continue
			case weather.Wait:
				items = append(items, waitCell(x0, y0, w, h)...)
			}
			run = 0
			items = append(items, scene.Text{Meta: scene.Meta{Title: title}, At: scene.Point{X: x0 + w/2, Y: y0 + h/2}, Content: letter,
				HeightMM: scene.TextSmall, Across: scene.Middle, Up: scene.Middle})
		}
		items = append(items, text(x+w/2, top-h*float64(rows)-3, fmt.Sprint(best), scene.Middle, best >= 3))
	}
	// The grid over the fills.
	var grid []scene.Path
	left, right, low := b.Low.X+hourMM, b.Low.X+hourMM+w*float64(len(days)), top-h*float64(rows)
	for c := range len(days) + 1 {
		x := left + w*float64(c)
		grid = append(grid, scene.Polyline(scene.Point{X: x, Y: low}, scene.Point{X: x, Y: top}))
	}
	for r := range rows + 1 {
		y := top - h*float64(r)
		grid = append(grid, scene.Polyline(scene.Point{X: left, Y: y}, scene.Point{X: right, Y: y}))
	}
	return append(items, scene.Shape{Stroke: scene.Pen(scene.Hairline), Paths: grid})
}

// goCell is dark with a white tick, so that a mono printer shows it as what it is.
func goCell(x, y, w, h float64, title string) []scene.Item {
	m := w / 2
	k := min(w, h) * 0.28
	tick := scene.Line(scene.Meta{}, scene.Stroke{WidthMM: scene.Heavy, Colour: scene.White},
		scene.Point{X: x + m - k, Y: y + h/2}, scene.Point{X: x + m - k/4, Y: y + h/2 - k*0.8}, scene.Point{X: x + m + k, Y: y + h/2 + k*0.8})
	return []scene.Item{scene.Shape{Meta: scene.Meta{Title: title, Class: "go"}, Filled: true, Fill: scene.Blue,
		Paths: []scene.Path{scene.Rect(x, y, x+w, y+h)}}, tick}
}

// waitCell is a pale tint.
func waitCell(x, y, w, h float64) []scene.Item {
	return []scene.Item{scene.Shape{Meta: scene.Meta{Class: scene.Backdrop + " wait"}, Filled: true, Fill: scene.Yellow.Tint(0.55),
		Paths: []scene.Path{scene.Rect(x, y, x+w, y+h)}}}
}
