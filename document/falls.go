package document

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"gelwright/plan"
	"gelwright/plane"
	"gelwright/runoff"
)

// falls is the firring schedule of every deck that has one, and the heights of the
// finished deck on a grid, to be checked with a level.
func (d *pack) falls() {
	begun := false
	for i := range d.p.Decks {
		k := &d.p.Decks[i]
		if len(k.Firrings) == 0 && len(k.Tapered) == 0 {
			continue
		}
		if !begun {
			d.follow("Falls and firrings",
				"What makes the fall, to be cut and numbered before it goes up: thin end to the low side, millimetres.", 80)
			begun = true
		}
		if len(k.Firrings) > 0 {
			d.firringTable(k)
		}
		if len(k.Tapered) > 0 {
			d.taperTable(k)
		}
		d.heightGrid(k)
	}
}

// firringShape is what firrings that are cut alike have in common.
type firringShape struct {
	long, from, low, tall int
	note                  string
}

// straightFirrings lists the firrings that are no more than a slope, alike ones in a line.
func (d *pack) straightFirrings(k *plan.Deck) {
	var order []firringShape
	by := map[firringShape][]string{}
	longer, noted := false, false
	for _, f := range k.Firrings {
		if len(f.Stations) > 0 {
			continue
		}
		s := firringShape{f.LengthMM(), f.CutMM(), int(math.Round(min(f.FromMM, f.ToMM))), int(math.Round(max(f.FromMM, f.ToMM))), f.Note}
		longer, noted = longer || s.from > s.long, noted || s.note != ""
		if by[s] == nil {
			order = append(order, s)
		}
		by[s] = append(by[s], f.Number)
	}
	if len(order) == 0 {
		return
	}
	sort.SliceStable(order, func(i, j int) bool { return order[i].long > order[j].long })
	// What no firring of the deck has takes no column: skew ends, notes.
	columns := []column{{share: 6, tick: true}, {head: "off", share: 10, number: true, bold: true},
		{head: "length mm", share: 18, number: true}}
	if longer {
		columns = append(columns, column{head: "cut from mm", share: 18, number: true})
	}
	columns = append(columns, column{head: "thin end mm", share: 18, number: true}, column{head: "thick end mm", share: 18, number: true})
	if noted {
		columns = append(columns, column{head: "numbers", share: 36}, column{head: "note", share: 60})
	} else {
		columns = append(columns, column{head: "numbers", share: 90})
	}
	var rows [][]string
	for _, s := range order {
		row := []string{"", fmt.Sprint(len(by[s])), fmt.Sprint(s.long)}
		if longer {
			row = append(row, fmt.Sprint(s.from))
		}
		row = append(row, fmt.Sprint(s.low), fmt.Sprint(s.tall), runs(by[s]))
		if noted {
			row = append(row, s.note)
		}
		rows = append(rows, row)
	}
	if longer {
		d.write("Length is that of the middle line; where an end is skew, the timber it is cut from is longer.", sizeSmall, false, 0)
	}
	d.table(table{columns: columns, leastMM: 5.5, points: sizeText}, rows)
}

func (d *pack) firringTable(k *plan.Deck) {
	d.heading("Deck "+k.Name+": firrings", 16)
	var marks []string
	for _, n := range []string{"least", "greatest", "lift"} {
		if m := d.refs.mark("firring." + k.Name + "." + n); m != "" {
			marks = append(marks, n+" "+m)
		}
	}
	d.write(fmt.Sprintf("%s. Workings: %s.", capital(countWords(len(k.Firrings), "piece")), strings.Join(marks, ", ")), sizeSmall, false, 0)
	scribed := slices.ContainsFunc(k.Firrings, func(f runoff.Firring) bool { return len(f.Stations) > 0 })
	d.straightFirrings(k)
	if scribed {
		d.scribed(k)
	}
}

// scribed lists firrings cut to a deck as found, station by station.
func (d *pack) scribed(k *plan.Deck) {
	most := 0
	for _, f := range k.Firrings {
		most = max(most, len(f.Stations))
	}
	const fits = 13
	columns := []column{{head: "no.", share: 12, bold: true}, {head: "length mm", share: 14, number: true}}
	for i := 0; i < min(most, fits); i++ {
		columns = append(columns, column{head: fmt.Sprintf("station %d", i+1), share: 11, number: true})
	}
	var rows [][]string
	for _, f := range k.Firrings {
		for from := 0; from < len(f.Stations); from += fits {
			row := []string{f.Number, d.num(f.LengthM*1000, 0)}
			if from > 0 {
				row = []string{"… on", ""}
			}
			for i := from; i < min(len(f.Stations), from+fits); i++ {
				row = append(row, d.num(f.Stations[i].AddMM, 0))
			}
			rows = append(rows, row)
		}
	}
	step := 0.0
	for _, f := range k.Firrings {
		if len(f.Stations) > 1 {
			step = f.Stations[0].At.Distance(f.Stations[1].At) * 1000
			break
		}
	}
	d.write(fmt.Sprintf(
		"Straight on top, scribed below to the deck as found: height in mm at each station from the first end, about %s mm apart.",
		d.num(step, 0)), sizeSmall, false, 0)
	d.table(table{columns: columns}, rows)
}

// taperTable groups the boards of tapered insulation that are alike to the millimetre.
func (d *pack) taperTable(k *plan.Deck) {
	d.heading("Deck "+k.Name+": tapered insulation", 16)
	type shape struct{ least, most int }
	var order []shape
	count, area := map[shape]int{}, map[shape]float64{}
	for _, b := range k.Tapered {
		s := shape{int(math.Round(b.LeastMM)), int(math.Round(b.MostMM))}
		if count[s] == 0 {
			order = append(order, s)
		}
		count[s]++
		area[s] += plane.TotalArea(b.Area)
	}
	sort.SliceStable(order, func(i, j int) bool {
		return order[i].least < order[j].least || order[i].least == order[j].least && order[i].most < order[j].most
	})
	var rows [][]string
	for _, s := range order {
		rows = append(rows, []string{"", fmt.Sprint(count[s]), fmt.Sprint(s.least), fmt.Sprint(s.most), d.num(area[s], 2)})
	}
	d.write(fmt.Sprintf("%d boards and pieces of boards; where each lies is on the drawing.", len(k.Tapered)), sizeSmall, false, 0)
	d.table(table{columns: []column{{share: 8, tick: true}, {head: "off", share: 12, number: true, bold: true},
		{head: "thinnest mm", share: 24, number: true}, {head: "thickest mm", share: 24, number: true},
		{head: "together m²", share: 24, number: true}, {head: "", share: 70}}, leastMM: 5.5, points: sizeText}, rows)
}

// heightGrid is the finished heights, laid out as on plan: north of the drawing up.
func (d *pack) heightGrid(k *plan.Deck) {
	low, high := plane.BoundsOf(k.Net)
	step, heights := k.HeightStepM, k.Heights
	if !(step > 0) || len(heights) == 0 {
		return
	}
	columns, lines := int((high.X-low.X)/step+1e-9)+1, int((high.Y-low.Y)/step+1e-9)+1
	const headMM, rowMM = 9.0, 6.2
	d.heading("Deck "+k.Name+": heights of the finished deck", headMM+rowMM*float64(min(lines, 12))+8)
	d.write(fmt.Sprintf(
		"Millimetres above the deck's lowest point, every %s m on plan, as seen from above with the drawing's top up. Highest %s mm %s.",
		d.num(step, 1), d.num(k.HighestMM, 0), d.refs.mark("deck."+k.Name+".rise")), sizeSmall, false, 0)
	cell := map[[2]int]string{}
	for _, h := range heights {
		cell[[2]int{int(math.Round((h.At.X - low.X) / step)), int(math.Round((h.At.Y - low.Y) / step))}] = d.num(h.MM, 0)
	}
	head := []column{{head: "y \\ x, m", share: 14, bold: true, number: true}}
	for i := 0; i < columns; i++ {
		head = append(head, column{head: d.num(low.X+float64(i)*step, 1), share: 11, number: true})
	}
	var rows [][]string
	for j := lines - 1; j >= 0; j-- {
		row := []string{d.num(low.Y+float64(j)*step, 1)}
		for i := 0; i < columns; i++ {
			row = append(row, cell[[2]int{i, j}])
		}
		rows = append(rows, row)
	}
	d.table(table{columns: head, boxed: true, leastMM: rowMM}, rows)
	d.places(k)
}

// places gives the heights at outlets, which the grid may miss.
func (d *pack) places(k *plan.Deck) {
	for _, deck := range d.p.Job.Decks {
		if deck.Name != k.Name {
			continue
		}
		var words []string
		for _, p := range deck.Penetrations {
			if n := len(words); p.Kind == "outlet" && n < len(k.OutletHeights) {
				words = append(words, fmt.Sprintf("%s %s mm", p.Name, d.num(k.OutletHeights[n].MM, 0)))
			}
		}
		if len(words) > 0 {
			d.write("At outlets: "+strings.Join(words, ", ")+".", sizeText, true, 0)
		}
	}
}

// ponds says where water stands on decks whose levels were measured.
func (d *pack) ponds() {
	begun := false
	for i := range d.p.Decks {
		k := &d.p.Decks[i]
		if k.Levels == nil && len(k.Pools) == 0 && k.Blocked == nil {
			continue
		}
		found := 0
		if k.Levels != nil {
			found = len(k.Levels.Ponds)
		}
		if !begun {
			d.follow("Standing water", "Where water stands: as found by measured levels, as the falls are drawn, and when an outlet is blocked.",
				40+6*float64(found+len(k.Pools)))
			begun = true
		}
		d.heading("Deck "+k.Name, 14)
		d.pools(k)
		if k.Levels == nil {
			continue
		}
		d.write("As found: "+d.local(k.Levels.Finding)+". The lines of equal level are among the drawings.", sizeText, true, 0)
		var rows [][]string
		for n, p := range k.Levels.Ponds {
			sure := "if the readings are right"
			if p.Certain {
				sure = "certain"
			}
			key := fmt.Sprintf("pond.%s.%d", k.Name, n+1)
			rows = append(rows, []string{fmt.Sprint(n + 1), d.num(p.AreaM2, 2), with(d.num(p.DepthMM.Value, 0), d.refs.mark(key+".depth")),
				d.num(p.DepthMM.Low, 0) + "–" + d.num(p.DepthMM.High, 0),
				with(d.num(p.VolumeL.Value, 1), d.refs.mark(key+".litres")), fmt.Sprintf("%s / %s", d.num(p.Deepest.X, 2), d.num(p.Deepest.Y, 2)),
				sure})
		}
		if len(rows) > 0 {
			d.table(table{columns: []column{{head: "pond", share: 10, bold: true}, {head: "area m²", share: 16, number: true},
				{head: "deepest mm", share: 18, number: true, bold: true}, {head: "between mm", share: 18, number: true},
				{head: "water l", share: 18, number: true}, {head: "deepest at x / y m", share: 28}, {head: "sure?", share: 40}}, points: sizeText},
				rows)
		}
	}
}

// pools says where water must rise before it leaves a deck as drawn, and what stands
// there when its outlet is blocked.
func (d *pack) pools(k *plan.Deck) {
	for n, p := range k.Pools {
		mark := d.refs.mark(fmt.Sprintf("check.drainage.pool.%s.%d", k.Name, n+1))
		where := fmt.Sprintf("at %s / %s m, fed by %s m²", d.num(p.At.X, 2), d.num(p.At.Y, 2), d.num(p.FedM2, 1))
		if p.To == "" {
			d.bullet("•", with("As drawn, water "+where+" has no way out.", mark))
			continue
		}
		rises := d.num(p.DepthMM, 0)
		if p.DepthMM < 1 {
			rises = "less than 1"
		}
		d.bullet("•", with(fmt.Sprintf("As drawn, water %s rises %s mm before it leaves by %s.", where, rises, p.To), mark))
	}
	if b := k.Blocked; b != nil {
		d.bullet("•", fmt.Sprintf("With its outlet blocked: %s mm at the deepest, over %s m², %s l, %s kN/m² there.", d.num(b.DepthMM, 0),
			d.num(b.AreaM2, 1), d.num(b.VolumeL, 0), d.num(b.LoadKPa, 2))+" "+
			d.refs.marks([]string{"pond.blocked." + k.Name + ".area", "pond.blocked." + k.Name + ".litres"}))
	}
}
