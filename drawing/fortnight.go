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
		{"wait: later that day (hatched)",
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
	s.Add(scene.Text{At: at(b.Low.X+2, b.Low.Y+1.5), Content: s.say(lettersWords), HeightMM: scene.TextSmall})
	s.Add(scene.Text{At: at(b.High.X-2, b.Low.Y+1.5), Content: s.say("foot of a column: most hours of go in a row"), HeightMM: scene.TextSmall,
		Across: scene.End})
	low := b.Low.Y + 7
	wide := (b.Width() - 4) / float64(len(works))
	for i, w := range works {
		x := b.Low.X + 2 + wide*float64(i)
		s.Add(fortnightTable(w, scene.Box{Low: at(x, low), High: at(x+wide-5, b.High.Y), Set: true}, zone)...)
	}
	return s, nil
}

// fortnight is the hours of one kind of work by day and hour.
type fortnight struct {
	work  string
	zone  *time.Location
	days  []time.Time
	hours map[[2]int]programme.Hour // by day and hour of the clock
	// first and last hour that is worked on any day.
	first, last int
}

// mostFortnightDays are the columns of the table.
const mostFortnightDays = 16

func fortnightOf(o programme.WorkHours, zone *time.Location) fortnight {
	f := fortnight{work: o.Work, zone: zone, hours: map[[2]int]programme.Hour{}, first: 24}
	for _, h := range o.Hours {
		t := h.Time.In(zone)
		midnight := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, zone)
		if len(f.days) == 0 || !f.days[len(f.days)-1].Equal(midnight) {
			if len(f.days) == mostFortnightDays {
				break
			}
			f.days = append(f.days, midnight)
		}
		f.hours[[2]int{len(f.days) - 1, t.Hour()}] = h
		if h.Working {
			f.first, f.last = min(f.first, t.Hour()), max(f.last, t.Hour())
		}
	}
	if f.first > f.last {
		f.first, f.last = 8, 16
	}
	return f
}

// fortnightTable draws the days of one kind of work.
func fortnightTable(o programme.WorkHours, b scene.Box, zone *time.Location) []scene.Item {
	f := fortnightOf(o, zone)
	const hourMM, headMM, titleMM = 7.0, 11.0, 7.0
	rows := f.last - f.first + 1
	w, h := (b.Width()-hourMM)/float64(len(f.days)), min((b.Height()-headMM-titleMM-6)/float64(rows), 12)
	top := b.High.Y - titleMM - headMM
	items := []scene.Item{scene.Text{At: scene.Point{X: b.Low.X, Y: b.High.Y - 4.5}, Content: o.Work, HeightMM: scene.TextUsual, Bold: true}}
	for r := range rows {
		items = append(items, hourText(b.Low.X+hourMM-1.5, top-h*(float64(r)+0.5), fmt.Sprintf("%02d", f.first+r), scene.End, false))
	}
	for c := range f.days {
		items = append(items, f.column(c, b.Low.X+hourMM+w*float64(c), top, w, h)...)
	}
	// The grid over the fills.
	var grid []scene.Path
	left, right, low := b.Low.X+hourMM, b.Low.X+hourMM+w*float64(len(f.days)), top-h*float64(rows)
	for c := range len(f.days) + 1 {
		x := left + w*float64(c)
		grid = append(grid, scene.Polyline(scene.Point{X: x, Y: low}, scene.Point{X: x, Y: top}))
	}
	for r := range rows + 1 {
		y := top - h*float64(r)
		grid = append(grid, scene.Polyline(scene.Point{X: left, Y: y}, scene.Point{X: right, Y: y}))
	}
	return append(items, scene.Shape{Stroke: scene.Pen(scene.Hairline), Paths: grid})
}

func hourText(x, y float64, words string, across scene.Align, bold bool) scene.Item {
	return scene.Text{At: scene.Point{X: x, Y: y}, Content: words, HeightMM: scene.TextSmall, Across: across, Up: scene.Middle, Bold: bold}
}

// column draws one day, its cells w × h from top down, and under it the most hours of go in
// a row.
func (f *fortnight) column(c int, x, top, w, h float64) []scene.Item {
	d := f.days[c]
	items := []scene.Item{
		hourText(x+w/2, top+8, d.Format("Mon")[:2], scene.Middle, d.Weekday() == time.Saturday || d.Weekday() == time.Sunday),
		hourText(x+w/2, top+3, fmt.Sprint(d.Day()), scene.Middle, false)}
	best, run := 0, 0
	for hour := f.first; hour <= f.last; hour++ {
		y0 := top - h*float64(hour-f.first+1)
		k, is := f.hours[[2]int{c, hour}]
		if !is {
			run = 0
			continue
		}
		title := fmt.Sprintf("%s %s: %s, %.0f %%", f.work, k.Time.In(f.zone).Format("Mon 2 Jan 15:04"), k.Verdict, 100*k.P)
		if k.Reason != "" {
			title += ", " + k.Reason
		}
		if k.Verdict == weather.Go {
			items = append(items, goCell(x, y0, w, h, title)...)
			run++
			best = max(best, run)
			continue
		}
		if k.Verdict == weather.Wait {
			items = append(items, waitCell(x, y0, w, h)...)
		}
		run = 0
		items = append(items, scene.Text{Meta: scene.Meta{Title: title}, At: scene.Point{X: x + w/2, Y: y0 + h/2},
			Content: reasonLetters[weather.Limit(k.Limit)], HeightMM: scene.TextSmall, Across: scene.Middle, Up: scene.Middle})
	}
	return append(items, hourText(x+w/2, top-h*float64(f.last-f.first+1)-3, fmt.Sprint(best), scene.Middle, best >= 3))
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

// waitCell is hatched round its letter, so that a mono printer parts it from no-go.
func waitCell(x, y, w, h float64) []scene.Item {
	const letterMM = 3.4
	box, m := scene.Rect(x, y, x+w, y+h), scene.Point{X: x + w/2, Y: y + h/2}
	words := scene.Rect(m.X-letterMM/2, m.Y-letterMM/2, m.X+letterMM/2, m.Y+letterMM/2)
	items := []scene.Item{scene.Shape{Meta: scene.Meta{Class: scene.Backdrop + " wait"}, Filled: true, Fill: scene.Yellow.Tint(0.35),
		Paths: []scene.Path{box}}}
	return append(items, scene.Diagonal(1.2).Cut(scene.Meta{Class: scene.Backdrop}, scene.Black, box, words)...)
}
