package document

import (
	"fmt"
	"sort"
	"strings"

	"gelwright/check"
	"gelwright/plan"
	"gelwright/settingout"
)

// worries lists what could go wrong, worst first: what fails, what must be asked.
func (d *pack) worries() {
	p := d.p
	d.begin("What to settle first", "Failures and open questions, worst first. Tick each when it is settled.")
	n := 0
	for _, x := range p.Passes {
		if x.Refusal != "" {
			d.bullet("✗", fmt.Sprintf("%s, deck %s: %s.", capital(passName(x)), x.Deck, x.Refusal))
			for _, r := range x.Remedies {
				d.indented(r.Text)
			}
			n++
			break
		}
	}
	for _, v := range []check.Verdict{check.Fail, check.Ask, check.Caution} {
		head := map[check.Verdict]string{check.Fail: "Fails", check.Ask: "To be answered", check.Caution: "To look at"}[v]
		first := true
		for _, r := range p.Checks {
			if r.Verdict != v {
				continue
			}
			if first {
				d.heading(head)
				first = false
			}
			where := ""
			if r.Where != "" {
				where = " (" + r.Where + ")"
			}
			d.item(fmt.Sprintf("%s%s %s", strings.TrimSuffix(r.Title, "."), where, d.refs.checkMark(r.Working)), r.Finding)
			for _, m := range r.Remedies {
				d.indented("Mend: " + m.Text)
			}
			if r.CallFor != "" {
				d.indented("Call: " + r.CallFor)
			}
			n++
		}
	}
	if len(p.Findings) > 0 {
		d.heading("From the survey")
		for _, f := range p.Findings {
			where := ""
			if f.Where != "" {
				where = f.Where + ": "
			}
			d.item(capital(where+f.Text), f.Remedy)
			n++
		}
	}
	if n == 0 {
		d.write("Nothing stands open.", sizeText, false, 0)
	}
}

// item is a box to tick, a bold line and what follows from it.
func (d *pack) item(bold, text string) {
	d.font(sizeText, true)
	h := lineMM(sizeText)
	lines := d.wrap(bold, d.width()-7)
	d.room(h * float64(len(lines)+1))
	d.box(left, d.y+0.9, 3)
	for _, l := range lines {
		d.room(h)
		d.font(sizeText, true)
		d.f.Text(left+7, d.y+h*0.78, l)
		d.y += h
	}
	if text != "" {
		d.indented(capital(text))
	}
	d.gap(1)
}

func (d *pack) indented(text string) { d.write(text, sizeSmall+0.7, false, 7) }

// box is a square to tick.
func (d *pack) box(x, y, size float64) {
	d.f.SetDrawColor(0, 0, 0)
	d.f.SetLineWidth(0.25)
	d.f.Rect(x, y, size, size, "D")
}

// defaults lists every value that was taken because the file is silent.
func (d *pack) defaults() {
	if len(d.p.Job.Defaults) == 0 {
		return
	}
	d.begin("Defaults taken", "The roof file does not say these; they were taken. Cross out what is wrong and put it in the file.")
	var rows [][]string
	for _, x := range d.p.Job.Defaults {
		rows = append(rows, []string{x.Field, x.Value, x.Why})
	}
	table{columns: []column{{head: "field of the roof file", share: 34}, {head: "taken as", share: 22, bold: true}, {head: "why", share: 60}}, points: sizeSmall}.draw(d.pages, rows)
}

func passName(x plan.Pass) string {
	switch x.Kind {
	case "mat":
		return fmt.Sprintf("mat layer %d", x.Layer)
	case "top coat":
		if x.Layer > 1 {
			return fmt.Sprintf("top coat %d", x.Layer)
		}
		return "top coat"
	}
	return "bandage and details"
}

// buckets is the bucket table: big figures, a box to tick, a line to write on.
func (d *pack) buckets() {
	any := false
	for _, x := range d.p.Passes {
		if x.Plan == nil {
			continue
		}
		if !any {
			d.begin("Buckets", "In the order of laying. Weigh the resin, measure the catalyst, stir 60 to 90 seconds, start the clock. ml and g are the same dose: use the one you measure with.")
			any = true
		} else {
			d.room(60)
		}
		head := fmt.Sprintf("Deck %s: %s", x.Deck, passName(x))
		d.heading(head)
		note := fmt.Sprintf("%s. %d buckets, %s kg", x.Resin, len(x.Plan.Mixes), d.num(x.KG, 1))
		if x.AreaM2 > 0 {
			note += fmt.Sprintf(", %s m². Chance that all are laid before they gel: %s %%. Way out after every bucket: %s", d.num(x.AreaM2, 1), d.num(100*x.Plan.ChanceDay, 0), wayOut(x))
		}
		d.write(note+".", sizeSmall, false, 0)
		d.gap(1)
		var rows [][]string
		for _, m := range x.Plan.Mixes {
			rows = append(rows, []string{fmt.Sprint(m.Number), d.num(m.ResinKG, 2), d.num(m.ResinL, 2), d.num(m.CatalystML, 0), d.num(m.CatalystG, 0), d.num(m.DosePct, 2),
				d.num(m.Gel.LowMin, 0) + "–" + d.num(m.Gel.HighMin, 0), d.num(m.LayByMin, 0), d.partsWords(x, m.Number), ""})
		}
		table{columns: []column{{head: "no.", share: 9, bold: true, points: 13}, {head: "resin kg", share: 13, number: true, bold: true, points: 13}, {head: "litres", share: 12, number: true, points: 11}, {head: "catalyst ml", share: 12, number: true, bold: true, points: 13},
			{head: "or g", share: 10, number: true, points: 11}, {head: "% by mass", share: 10, number: true}, {head: "gels min", share: 12, number: true}, {head: "lay within min", share: 11, number: true, bold: true},
			{head: "covers", share: 34}, {head: "mixed at / gelled at / °C", share: 32}}, points: sizeSmall, leastMM: 9, boxed: true}.draw(d.pages, rows)
	}
	if !any {
		return
	}
	d.write("Stop when the bucket strings. Never add catalyst to a second-hand half-mix, never catalyse the drum. What is left over: spread it thin in a metal tray outdoors, with water by.", sizeSmall, false, 0)
}

func wayOut(x plan.Pass) string {
	if x.Plan.WayOut.Holds {
		return fmt.Sprintf("proven over %d steps", x.Plan.WayOut.Steps)
	}
	return "NOT proven, see the plan"
}

// partsWords names what a bucket covers, with its share where it is not the whole strip.
func (d *pack) partsWords(x plan.Pass, number int) string {
	for _, m := range x.Plan.Mixes {
		if m.Number != number {
			continue
		}
		if len(m.Parts) == 0 {
			return ""
		}
		var words []string
		for _, part := range m.Parts {
			w := part.Name
			if !part.Whole {
				w = "part of " + w
			}
			words = append(words, w)
		}
		text := strings.Join(words, ", ")
		if m.AreaM2 > 0 {
			text += fmt.Sprintf(" (%s m²)", d.num(m.AreaM2, 1))
		}
		return text
	}
	return ""
}

// doseCard is for the day that is not as forecast.
func (d *pack) doseCard() {
	c := d.p.DoseCard
	d.begin("Dose card", c.Convention+" "+c.HabitNote+" Measure the temperature of resin and deck and take the lower. A timed test cup outranks this card.")
	var rows [][]string
	cell := func(a plan.DoseAnswer) []string {
		if a.Refused != "" {
			return []string{"–", "–", "–", a.Refused}
		}
		return []string{d.num(a.Pct, 2), d.num(a.MLPerKG, 1), d.num(a.GPerKG, 1), d.num(a.LowMin, 0) + "–" + d.num(a.HighMin, 0)}
	}
	for _, r := range c.Rows {
		row := append([]string{d.num(r.TempC, 1)}, cell(r.Laminate)...)
		rows = append(rows, append(row, cell(r.Coat)...))
	}
	table{columns: []column{{head: "°C", share: 9, number: true, bold: true, points: 11}, {head: "laminating resin: % by mass", share: 14, number: true}, {head: "ml per kg", share: 12, number: true, bold: true, points: 11}, {head: "g per kg", share: 12, number: true, points: 11}, {head: "gels in min", share: 22, number: true},
		{head: "top coat: % by mass", share: 13, number: true}, {head: "ml per kg", share: 12, number: true, bold: true, points: 11}, {head: "g per kg", share: 12, number: true, points: 11}, {head: "gels in min", share: 22, number: true}}, points: sizeSmall + 0.5, leastMM: 7}.draw(d.pages, rows)
	d.write("The resin's data are generic until your supplier's gel points stand in the firm file. Habit check "+d.refs.mark("dose.habit")+".", sizeSmall, false, 0)
}

// method is numbered steps, one act a step, with its reason, and hold points.
func (d *pack) method() {
	d.begin("Method", "In the order of work. Hold points stop the job until somebody has signed.")
	stage := ""
	for _, s := range d.p.Method {
		if s.Stage != stage {
			stage = s.Stage
			d.heading(stage)
		}
		if s.Hold {
			d.holdPoint(s)
			continue
		}
		d.font(sizeText, false)
		h := lineMM(sizeText)
		lines := d.wrap(s.Act+" "+d.refs.marks(s.Figures), d.width()-9)
		d.room(h * float64(len(lines)+1))
		d.font(sizeText, true)
		d.f.Text(left, d.y+h*0.78, fmt.Sprint(s.Number))
		for _, l := range lines {
			d.font(sizeText, false)
			d.f.Text(left+9, d.y+h*0.78, l)
			d.y += h
		}
		if s.Why != "" {
			d.write(s.Why, sizeSmall, false, 9)
		}
		d.gap(1.2)
	}
}

func (d *pack) holdPoint(s plan.Step) {
	d.room(18)
	d.gap(1)
	y := d.y
	d.font(sizeText, true)
	h := lineMM(sizeText)
	d.gap(1.2)
	for _, l := range d.wrap(fmt.Sprintf("%d  %s", s.Number, s.Act), d.width()-6) {
		d.font(sizeText, true)
		d.f.Text(left+3, d.y+h*0.78, l)
		d.y += h
	}
	if s.Record != "" {
		d.write("Record: "+s.Record, sizeSmall, false, 3)
	}
	d.font(sizeSmall, false)
	d.gap(4)
	d.f.Text(left+3, d.y, "signed")
	d.f.Text(left+95, d.y, "date and time")
	d.f.SetLineWidth(0.18)
	d.f.SetDrawColor(0, 0, 0)
	d.f.Line(left+15, d.y+0.6, left+90, d.y+0.6)
	d.f.Line(left+117, d.y+0.6, pageWidth-right-4, d.y+0.6)
	d.gap(3)
	d.f.SetLineWidth(0.5)
	d.f.Rect(left, y, d.width(), d.y-y, "D")
	d.gap(2)
}

// cutLists says what is cut from what, board by board and length by length.
func (d *pack) cutLists() {
	d.begin("Cut lists", "Every number is found again on the set-out drawings. Lengths in millimetres. 'Proven' means that no plan for these pieces needs fewer.")
	for _, k := range d.p.Decks {
		for _, m := range k.SetOut.Materials {
			if len(m.Stock) == 0 || m.Kind == settingout.Mat {
				continue
			}
			d.heading(fmt.Sprintf("Deck %s: %s", k.Name, m.Name))
			proof := "best known"
			if m.Optimal {
				proof = "proven least"
			}
			d.write(fmt.Sprintf("%d %s, %s (bound %s, gap %s %%), waste %s %%.", m.Items, m.Unit, proof, d.num(m.Bound, 0), d.num(100*m.Gap, 1), d.num(m.WastePct, 1)), sizeSmall, false, 0)
			var rows [][]string
			for _, s := range m.Stock {
				var cuts []string
				for _, c := range s.Cuts {
					size := fmt.Sprint(c.LengthMM)
					if c.WidthMM > 0 {
						size += "×" + fmt.Sprint(c.WidthMM)
					}
					cuts = append(cuts, c.Piece+" "+size)
				}
				var keep []string
				for _, o := range s.Offcuts {
					size := fmt.Sprint(o.LengthMM)
					if o.WidthMM > 0 {
						size += "×" + fmt.Sprint(o.WidthMM)
					}
					keep = append(keep, size)
				}
				size := fmt.Sprint(s.LengthMM)
				if s.WidthMM > 0 {
					size += "×" + fmt.Sprint(s.WidthMM)
				}
				rows = append(rows, []string{fmt.Sprint(s.Number), size, strings.Join(cuts, ",  "), strings.Join(keep, ", ")})
			}
			table{columns: []column{{head: "no.", share: 8, bold: true}, {head: "stock", share: 20}, {head: "cut from it", share: 80}, {head: "keep", share: 24}}}.draw(d.pages, rows)
		}
		d.strips(k)
	}
}

// strips lists mat, upstand and bandage pieces to cut and number before mixing.
func (d *pack) strips(k plan.Deck) {
	groups := map[string][]settingout.Piece{}
	var names []string
	for _, x := range k.SetOut.Pieces {
		name := ""
		switch {
		case x.Kind == settingout.Mat && !x.Upright:
			name = fmt.Sprintf("mat strips, layer %d (%s)", x.Layer, x.Material)
		case x.Kind == settingout.Mat:
			name = "upstand and kerb mat"
		case x.Kind == settingout.Patch:
			name = "patches"
		case x.Kind == settingout.Noggin:
			name = "noggins"
		default:
			continue
		}
		if groups[name] == nil {
			names = append(names, name)
		}
		groups[name] = append(groups[name], x)
	}
	for _, name := range names {
		d.heading("Deck " + k.Name + ": " + name)
		// Pieces that are alike share a line.
		type size struct{ l, w int }
		var order []size
		by := map[size][]string{}
		for _, x := range groups[name] {
			s := size{x.LengthMM, x.WidthMM}
			if by[s] == nil {
				order = append(order, s)
			}
			by[s] = append(by[s], x.Number)
		}
		sort.SliceStable(order, func(i, j int) bool { return order[i].l > order[j].l })
		var rows [][]string
		for _, s := range order {
			rows = append(rows, []string{fmt.Sprint(len(by[s])), fmt.Sprint(s.l), fmt.Sprint(s.w), strings.Join(by[s], ", ")})
		}
		table{columns: []column{{head: "count", share: 8, number: true, bold: true}, {head: "length", share: 12, number: true}, {head: "width", share: 12, number: true}, {head: "numbers", share: 90}}}.draw(d.pages, rows)
	}
	for _, c := range k.SetOut.Choices {
		if c.Text != "" {
			d.write(capital(c.About)+": "+c.Text+".", sizeSmall, false, 0)
		}
	}
}

// orderList is the schedule of quantities and what to order.
func (d *pack) orderList() {
	s := d.p.Order.Schedule
	d.begin("Schedule of quantities and order list", "Net is what the numbered pieces and buckets take, gross adds the waste allowance, the order is rounded up to packs.")
	kind := ""
	var rows [][]string
	for _, l := range s.Lines {
		if string(l.Kind) != kind {
			kind = string(l.Kind)
			rows = append(rows, []string{"§" + capital(kind)})
		}
		cost := ""
		if l.Priced {
			cost = d.num(float64(l.CostMinor)/100, 2)
		}
		rows = append(rows, []string{l.Description, l.Unit, d.num(l.Net, 1), d.num(l.WastePct, 0), d.num(l.Gross, 1) + " " + d.refs.mark(l.Key), l.OrderText(), cost, shortList(l.Pieces)})
	}
	table{columns: []column{{head: "material", share: 44}, {head: "unit", share: 9}, {head: "net", share: 12, number: true}, {head: "waste %", share: 9, number: true}, {head: "gross", share: 18, number: true}, {head: "order", share: 30, bold: true}, {head: "cost", share: 12, number: true}, {head: "for", share: 24}}, points: sizeTiny + 0.7}.draw(d.pages, rows)
	if s.CostMinor > 0 {
		d.write(fmt.Sprintf("Priced lines together: %s.", d.num(float64(s.CostMinor)/100, 2)), sizeText, true, 0)
	}
	for _, n := range s.Notes {
		d.write(capital(n)+".", sizeSmall, false, 0)
	}
}

// shortList names the first and last of many pieces.
func shortList(pieces []string) string {
	if len(pieces) <= 4 {
		return strings.Join(pieces, ", ")
	}
	return fmt.Sprintf("%s … %s (%d)", pieces[0], pieces[len(pieces)-1], len(pieces))
}

// checkSummary is one line a check.
func (d *pack) checkSummary() {
	d.begin("Design checks", "One line a check; the workings stand in the appendix. A check here is no substitute for an engineer where one is called for.")
	mark := map[check.Verdict]string{check.Pass: "pass", check.Fail: "FAIL", check.Ask: "ask", check.Caution: "look", check.NotApplicable: "–"}
	var rows [][]string
	flags := map[string]bool{}
	var order []string
	for _, r := range d.p.Checks {
		used := ""
		if r.Utilisation > 0 {
			used = d.num(100*r.Utilisation, 0)
		}
		rows = append(rows, []string{mark[r.Verdict], used, r.Title + " " + d.refs.checkMark(r.Working), r.Where, capital(r.Finding), r.Clause.String()})
		for _, f := range r.Flags {
			if !flags[f] {
				flags[f] = true
				order = append(order, f)
			}
		}
	}
	table{columns: []column{{head: "verdict", share: 10, bold: true}, {head: "used %", share: 8, number: true}, {head: "question", share: 32}, {head: "where", share: 22}, {head: "finding", share: 56}, {head: "by", share: 28}}, points: sizeTiny + 0.4}.draw(d.pages, rows)
	for _, c := range d.p.CountryCautions {
		d.write(capital(c)+".", sizeSmall, false, 0)
	}
	if len(order) > 0 {
		d.heading("Cautions on the inputs")
		for _, f := range order {
			d.bullet("•", capital(f)+".")
		}
	}
}

func capital(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[0])) + string(r[1:])
}
