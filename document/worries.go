package document

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"gelwright/check"
	"gelwright/check/detailing"
	"gelwright/roof"
)

// worries lists what could go wrong, worst first: what fails, what must be asked.
func (d *pack) worries() {
	p := d.p
	d.begin("What to settle first", "Failures and open questions, worst first. Tick each when it is settled.")
	n := 0
	if r := p.RefusedOverlay(); r != nil {
		d.heading("The work itself", 14)
		d.checkItem(*r, "")
		n++
	}
	for _, x := range p.Passes {
		if x.Refusal != "" {
			d.item(capital(passName(x))+", deck "+x.Deck+": no bucket can be mixed", d.local(capital(x.Refusal)))
			for _, r := range x.Remedies {
				d.indented("Mend: " + d.local(r.Text))
			}
			n++
			break
		}
	}
	for _, v := range []check.Verdict{check.Fail, check.Ask, check.Caution} {
		head := map[check.Verdict]string{check.Fail: "Fails", check.Ask: "To be answered", check.Caution: "To look at"}[v]
		first := true
		for _, g := range d.alikeChecks(v) {
			if v == check.Fail && g.result.Key == detailing.OverlayKey {
				continue // it stands first
			}
			if first {
				d.heading(head, 14)
			}
			first = false
			d.checkItem(g.result, g.where.String())
			n++
		}
	}
	if len(p.Findings) > 0 {
		d.heading("From the survey", 14)
		for _, g := range d.alikeFindings() {
			if d.saidByCheck(g.finding) {
				continue
			}
			where := g.where.String()
			if where != "" {
				where += ": "
			}
			d.item(d.local(capital(where+g.finding.Text)), d.local(capital(g.finding.Remedy)))
			n++
		}
	}
	if n == 0 {
		d.write("Nothing stands open.", sizeText, false, 0)
	}
}

// alikeResult is one question that has the same answer in several places.
type alikeResult struct {
	result check.Result
	where  places
}

// places is where on the roof the same was found.
type places []string

// String names the places, those of one deck together: "deck hall: RL01–RL12".
func (p places) String() string {
	var order []string
	by := map[string][]string{}
	for _, w := range p {
		deck, rest, _ := strings.Cut(w, ", ")
		if by[deck] == nil {
			order = append(order, deck)
		}
		by[deck] = append(by[deck], rest)
	}
	var out []string
	for _, deck := range order {
		rests := by[deck]
		switch {
		case len(rests) == 1:
			out = append(out, joinNonEmpty(", ", deck, rests[0]))
		case rests[0] == "":
			out = append(out, deck)
		default:
			out = append(out, deck+": "+runs(rests))
		}
	}
	return strings.Join(out, "; ")
}

// and adds a place, when one is named.
func (p places) and(where string) places {
	if where == "" {
		return p
	}
	return append(p, where)
}

// alikeChecks gathers the checks of one verdict that say the same of several places; the
// first one's working stands for them.
func (d *pack) alikeChecks(v check.Verdict) []alikeResult {
	var out []alikeResult
	at := map[string]int{}
	for _, r := range d.p.Checks {
		if r.Verdict != v {
			continue
		}
		is := fmt.Sprint(r.Key, "|", r.Title, "|", r.Finding, "|", r.Remedies, "|", r.CallFor, "|", r.Clause, "|", d.num(100*r.Utilisation, 0))
		k, known := at[is]
		if !known {
			at[is] = len(out)
			out = append(out, alikeResult{r, places{}.and(r.Where)})
			continue
		}
		out[k].where = out[k].where.and(r.Where)
	}
	return out
}

type alikeFinding struct {
	finding roof.Finding
	where   places
}

// alikeFindings does so for what the survey raises by itself.
func (d *pack) alikeFindings() []alikeFinding {
	var out []alikeFinding
	at := map[string]int{}
	for _, f := range d.p.Findings {
		is := f.Code + "|" + f.Text + "|" + f.Remedy
		k, known := at[is]
		if !known {
			at[is] = len(out)
			out = append(out, alikeFinding{f, places{}.and(f.Where)})
			continue
		}
		out[k].where = out[k].where.and(f.Where)
	}
	return out
}

func (d *pack) checkItem(r check.Result, at string) {
	where := ""
	if at != "" {
		where = " (" + at + ")"
	}
	text := d.local(capital(r.Finding))
	for _, m := range r.Remedies {
		text += "\nMend: " + d.local(m.Text)
	}
	if r.CallFor != "" {
		text += "\nCall: " + d.local(r.CallFor)
	}
	d.item(with(strings.TrimSuffix(r.Title, ".")+where, d.refs.checkMark(r.Working)), text)
}

// item is a box to tick, a bold line and what follows from it, kept together.
func (d *pack) item(bold, text string) {
	d.font(sizeText, true)
	h := lineMM(sizeText)
	lines := d.wrap(bold, d.width()-7)
	d.font(sizeSmall+0.6, false)
	below := 0
	if text != "" {
		below = len(d.wrap(text, d.width()-7))
	}
	d.room(h*float64(len(lines)) + lineMM(sizeSmall+0.6)*float64(min(below, 4)))
	d.box(left, d.y+0.9, 3.2)
	d.f.In(d.listedWhole(joinNonEmpty("\n", bold, text)), func() {
		for _, l := range lines {
			d.font(sizeText, true)
			d.text(left+7, d.y+h*0.78, l)
			d.y += h
		}
		if text != "" {
			d.indented(text)
		}
	})
	d.gap(1.2)
}

func (d *pack) indented(text string) { d.write(text, sizeSmall+0.6, false, 7) }

// box is a square to tick.
func (d *pack) box(x, y, size float64) {
	d.f.SetDrawColor(0, 0, 0)
	d.f.SetLineWidth(0.3)
	d.f.Rect(x, y, size, size, "D")
}

// defaults lists every value that was taken because the file is silent. The values
// stand as the roof file would hold them, with a point in every locale.
func (d *pack) defaults() {
	if len(d.p.Job.Defaults) == 0 {
		return
	}
	d.enter("Defaults taken")
	d.title("Defaults taken", "The roof file does not say these; they were taken. Cross out what is wrong and put it in the file.")
	var rows [][]string
	for _, x := range d.p.Job.Defaults {
		rows = append(rows, []string{"", x.Field, x.Value, d.local(x.Why)})
	}
	d.table(table{columns: []column{{share: 5, tick: true}, {head: "field of the roof file", share: 40},
		{head: "taken as", share: 22, bold: true}, {head: "why", share: 62}}, points: sizeSmall - 0.6, leastMM: 4.4}, rows)
}

// checkSummary is one line a check, what fails first.
func (d *pack) checkSummary() {
	d.follow("Design checks",
		"One line a question with the place nearest its limit; what fails or must be answered, place by place. 'Used' is demand over "+
			"capacity. Each is worked in full in workings.pdf under its number. No substitute for an engineer where one is called for.", leastListMM)
	var s checkTable
	for _, v := range []check.Verdict{check.Fail, check.Ask, check.Caution, check.Pass, check.NotApplicable} {
		for _, of := range governing(v, d.alikeChecks(v)) {
			d.checkRow(&s, v, of)
		}
		s.flagged(d.p.Checks, v)
	}
	rows, idle, sources := s.rows, s.idle, s.sources
	d.table(table{columns: []column{{head: "verdict", share: 11, bold: true}, {head: "used %", share: 8, number: true},
		{head: "question", share: 46}, {head: "where", share: 25}, {head: "finding", share: 83}, {head: "by", share: 6}},
		points: sizeTiny}, rows)
	if len(idle) > 0 {
		d.write("Not asked here: "+strings.Join(idle, "; ")+".", sizeTiny, false, 0)
	}
	for i, s := range sources {
		sources[i] = strings.ToLower(columnLetter(i)) + " " + s
	}
	d.checkSources = sources
	d.flags = s.flags
}

// checkTable is the summary of the checks in the making.
type checkTable struct {
	rows [][]string
	// idle are questions that do not arise here, flags cautions on inputs, sources what the rows
	// go by, in the order of their letters.
	idle, flags, sources []string
}

// by is the letter of a source.
func (s *checkTable) by(source string) string {
	if source == "" {
		return ""
	}
	k := slices.Index(s.sources, source)
	if k < 0 {
		k = len(s.sources)
		s.sources = append(s.sources, source)
	}
	return strings.ToLower(columnLetter(k))
}

// flagged takes the cautions of the checks of one verdict, each once.
func (s *checkTable) flagged(all []check.Result, v check.Verdict) {
	for _, r := range all {
		if r.Verdict != v {
			continue
		}
		for _, f := range r.Flags {
			if !slices.Contains(s.flags, f) {
				s.flags = append(s.flags, f)
			}
		}
	}
}

// checkRow is one question with the place nearest its limit first in of.
func (d *pack) checkRow(s *checkTable, v check.Verdict, of []alikeResult) {
	r := of[0].result
	used := ""
	if r.Utilisation > 0 {
		used = d.num(100*r.Utilisation, 0)
	}
	mark := d.refs.checkMark(r.Working)
	where, n := of[0].where.String(), len(of[0].where)-1
	for i, g := range of {
		for _, f := range g.result.Working {
			d.refs.of(f)
		}
		if i > 0 {
			n += max(len(g.where), 1)
		}
	}
	if v == check.NotApplicable {
		s.idle = append(s.idle, strings.TrimSuffix(r.Title, "?")+" ("+d.local(r.Finding)+")")
		return
	}
	if len(of[0].where) > 0 && n > 0 && !each(v) {
		where = fmt.Sprintf("%s and %d more", of[0].where[0], n)
	}
	words := map[check.Verdict]string{check.Fail: "FAIL", check.Ask: "ask", check.Caution: "look", check.Pass: "pass"}
	s.rows = append(s.rows, []string{words[v], used, with(r.Title, mark), where, d.local(capital(r.Finding)), s.by(d.source(r.Clause))})
}

// each tells whether every place has a line: where something is to be mended or answered.
func each(v check.Verdict) bool { return v == check.Fail || v == check.Ask }

// governing puts together what asks the same question, the place nearest its limit
// first, so that the summary stays on a page. What fails or must be answered keeps a line
// of its own; what is to be looked at stands place by place under "What to settle first".
func governing(v check.Verdict, all []alikeResult) [][]alikeResult {
	var out [][]alikeResult
	at := map[string]int{}
	for _, g := range all {
		k, known := at[g.result.Title]
		if !known || each(v) {
			at[g.result.Title] = len(out)
			out = append(out, []alikeResult{g})
			continue
		}
		out[k] = append(out[k], g)
		if last := len(out[k]) - 1; g.result.Utilisation > out[k][0].result.Utilisation {
			out[k][0], out[k][last] = out[k][last], out[k][0]
		}
	}
	return out
}

// cautions tells, before the workings, what of the inputs is not sure.
func (d *pack) cautions() {
	if len(d.checkSources) > 0 {
		d.heading("Sources of the checks", 10)
		d.write(strings.Join(d.checkSources, ";  ")+".", sizeTiny, false, 0)
	}
	all := inOne(append(slices.Clone(d.p.CountryCautions), d.flags...))
	if len(all) == 0 {
		return
	}
	d.heading("Cautions on the inputs", 10)
	for _, f := range all {
		d.hanging("•", d.local(capital(f))+".", sizeTiny, 4)
	}
	d.gap(3)
}

// figures of a sentence.
var figures = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)

// inOne puts cautions that differ in one figure alone into one with all of their figures: "it uses 22,
// 17, 11 % of its fixings".
func inOne(texts []string) []string {
	var out []string
	at := map[string]int{}
	for _, t := range texts {
		is := figures.ReplaceAllString(t, "#")
		k, known := at[is]
		if !known {
			at[is] = len(out)
			out = append(out, t)
			continue
		}
		if joined := joinFigures(out[k], t); joined != "" {
			out[k] = joined
		} else {
			out = append(out, t)
		}
	}
	return out
}

// several are figures joined already.
var several = regexp.MustCompile(`[0-9]+(\.[0-9]+)?(, [0-9]+(\.[0-9]+)?)*`)

// joinFigures adds the one figure in which b differs from a behind a's; empty where more differ.
func joinFigures(a, b string) string {
	was, is := several.FindAllStringIndex(a, -1), figures.FindAllStringIndex(b, -1)
	if len(was) != len(is) {
		return ""
	}
	joined, found := "", 0
	for i, w := range was {
		figure := b[is[i][0]:is[i][1]]
		if slices.Contains(strings.Split(a[w[0]:w[1]], ", "), figure) {
			continue
		}
		joined, found = a[:w[1]]+", "+figure+a[w[1]:], found+1
	}
	switch found {
	case 0:
		return a
	case 1:
		return joined
	}
	return ""
}
