package margin

import (
	"strings"

	"gelwright/check"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/working"
)

// Worry is something to settle: a check that fails or asks, or what the survey raises. Grade is "stop", "ask" or "note".
type Worry struct {
	// ID names it for good among the worries of a roof, so that a page knows it again after a change.
	ID    string `json:"id"`
	Grade string `json:"grade"`
	// Title in a roofer's words, Text the finding with its figures.
	Title string `json:"title" said:"yes"`
	Text  string `json:"text" said:"yes"`
	// Where on the roof in words; Path the piece of the roof file, "decks[L].edges[2]"; empty for the whole job.
	Where string `json:"where"`
	Path  string `json:"path"`
	// Advice is what to do that no field of the roof file can say; CallFor whom to call.
	Advice  []string `json:"advice" said:"yes"`
	CallFor string   `json:"call_for" said:"yes"`
	// Acts are changes of the roof file that settle it.
	Acts []Act `json:"acts"`
	// Flags are cautions on what it rests on.
	Flags []string `json:"flags" said:"yes"`
	// Figures are keys of its workings, the deciding one first; Clause says by which rule.
	Figures  []string         `json:"figures"`
	Clause   string           `json:"clause"`
	Standing working.Standing `json:"standing"`
}

// Act sets a field of the roof file; Value is as it would be written there.
type Act struct {
	Text  string `json:"text" said:"yes"`
	Field string `json:"field"`
	Value string `json:"value"`
}

// WorriesOf are the worries of a plan, the worst first.
func WorriesOf(p *plan.Plan) []Worry {
	places := placesOf(&p.Job)
	var out []Worry
	out = append(out, refused(p)...)
	for _, v := range []check.Verdict{check.Fail, check.Ask, check.Caution} {
		for i := range p.Checks {
			if p.Checks[i].Verdict == v {
				out = append(out, worryOf(&p.Checks[i], places))
			}
		}
	}
	asked := map[string]bool{}
	for _, w := range out {
		asked[w.ID] = true
	}
	for i := range p.Findings {
		f := &p.Findings[i]
		w := Worry{ID: f.Code + "@" + f.Where, Grade: gradeOfFinding(f), Title: upper(f.Text), Where: f.Where, Path: places.of(f.Where),
			Advice: []string{f.Remedy}, Acts: answersOf(f.Code, places.of(f.Where)), Flags: []string{}, Figures: []string{},
			Clause: f.Source.Title, Standing: f.Source.Standing}
		if saidByCheck(f.Code) || asked[w.ID] {
			continue
		}
		asked[w.ID] = true
		out = append(out, w)
	}
	if out == nil {
		out = []Worry{}
	}
	return out
}

// refused are the passes in which no bucket can be mixed.
func refused(p *plan.Plan) []Worry {
	var out []Worry
	for i := range p.Passes {
		x := &p.Passes[i]
		if x.Refusal == "" {
			continue
		}
		w := Worry{ID: "refused@" + x.Deck + "." + x.Kind, Grade: "stop", Title: "No bucket can be mixed", Text: x.Refusal,
			Where: "deck " + x.Deck + ", " + x.Kind, Path: "decks[" + x.Deck + "]", Advice: []string{}, Acts: []Act{}, Flags: []string{},
			Figures: []string{}, Standing: working.Derived}
		w.remedies(x.Remedies)
		out = append(out, w)
	}
	return out
}

func worryOf(r *check.Result, places places) Worry {
	w := Worry{ID: r.Key + "@" + r.Where, Title: r.Title, Text: r.Finding, Where: r.Where, Path: places.of(r.Where), CallFor: r.CallFor,
		Grade:  map[check.Verdict]string{check.Fail: "stop", check.Ask: "ask", check.Caution: "note"}[r.Verdict],
		Advice: []string{}, Acts: []Act{}, Flags: append([]string{}, r.Flags...), Figures: []string{}, Clause: r.Clause.Title,
		Standing: r.Clause.Standing}
	if r.Clause.Clause != "" {
		w.Clause += ", " + r.Clause.Clause
	}
	for _, f := range r.Working {
		if f != nil && f.Key != "" {
			w.Figures = append(w.Figures, f.Key)
		}
	}
	w.remedies(r.Remedies)
	if len(w.Acts) == 0 {
		w.Acts = answersOf(r.Key, w.Path)
	}
	return w
}

// remedies parts what a field can say from what it cannot.
func (w *Worry) remedies(list []check.Remedy) {
	for _, m := range list {
		if m.Field != "" && m.Value != "" {
			w.Acts = append(w.Acts, Act{m.Text, m.Field, m.Value})
		} else {
			w.Advice = append(w.Advice, m.Text)
		}
	}
}

// answers are the questions that a field of the roof file answers, by the check's key or the finding's code. Field is
// under the piece that is asked about where it begins with a dot.
var answers = map[string][]Act{
	"detailing.cavity-tray": {{"Tray and weep holes, seen", ".cavity_tray", "yes"}, {"No tray", ".cavity_tray", "no"}},
	"cavity_tray.ask":       {{"Tray and weep holes, seen", ".cavity_tray", "yes"}, {"No tray", ".cavity_tray", "no"}},
}

func answersOf(code, path string) []Act {
	out := []Act{}
	for _, a := range answers[code] {
		if strings.HasPrefix(a.Field, ".") {
			if path == "" {
				continue
			}
			a.Field = path + a.Field
		}
		out = append(out, a)
	}
	return out
}

// saidByCheck are findings that a check asks as well.
func saidByCheck(code string) bool { return code == "cavity_tray.ask" }

// gradeOfFinding is whether a finding asks or only tells.
func gradeOfFinding(f *roof.Finding) string {
	if strings.HasSuffix(f.Code, ".ask") || strings.HasSuffix(f.Code, ".check") {
		return "ask"
	}
	return "note"
}

// places are the pieces of a roof by their names in words.
type places map[string]string

// placesOf names decks, edges and openings as checks and findings do.
func placesOf(job *roof.Job) places {
	out := places{}
	for i := range job.Decks {
		d := &job.Decks[i]
		path := job.DeckPath(i)
		out["deck "+d.Name], out[d.Name], out[`deck "`+d.Name+`"`] = path, path, path
		for k := range d.Edges {
			edge := path + ".edges[" + itoa(k) + "]"
			out[d.EdgeWhere(k)] = edge
			name := ", edge " + itoa(k+1) + " (" + string(d.Edges[k].Condition) + ")"
			out["deck "+d.Name+name], out[d.Name+name] = edge, edge
			out[`deck "`+d.Name+`"`+name] = edge
		}
		for k := range d.Openings {
			at := d.OpeningPath(path, k)
			out["deck "+d.Name+", "+d.Openings[k].Name], out[d.Name+", "+d.Openings[k].Name] = at, at
			out[`deck "`+d.Name+`", opening "`+d.Openings[k].Name+`"`] = at
		}
		for k := range d.Penetrations {
			at := d.PenetrationPath(path, k)
			out["deck "+d.Name+", "+d.Penetrations[k].Name], out[d.Name+", "+d.Penetrations[k].Name] = at, at
		}
	}
	return out
}

// of is the path of a place in words, or of the deck that it begins with.
func (p places) of(where string) string {
	for text := where; text != ""; {
		if path, known := p[text]; known {
			return path
		}
		cut := strings.LastIndex(text, ", ")
		if cut < 0 {
			break
		}
		text = text[:cut]
	}
	return ""
}
