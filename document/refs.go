package document

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"gelwright/plan"
	"gelwright/unit"
	"gelwright/working"
)

// refs numbers the workings that the pack's figures point at, in the order in which
// they are met.
type refs struct {
	p      *plan.Plan
	number map[*working.Figure]int
	order  []*working.Figure
}

func newRefs(p *plan.Plan) *refs {
	return &refs{p: p, number: map[*working.Figure]int{}}
}

// mark returns "[12]" for a figure's key, and "" where nothing was worked out under it.
func (r *refs) mark(key string) string {
	f, ok := r.p.Workings.Find(key)
	if !ok {
		return ""
	}
	return r.of(f)
}

// of returns the mark of a figure.
func (r *refs) of(f *working.Figure) string {
	if f.Key != "" {
		// The register's figure stands for all under its key.
		if known, ok := r.p.Workings.Find(f.Key); ok {
			f = known
		}
	}
	n, ok := r.number[f]
	if !ok {
		r.order = append(r.order, f)
		n = len(r.order)
		r.number[f] = n
	}
	return fmt.Sprintf("[%d]", n)
}

// has reports whether a figure has a number already.
func (r *refs) has(f *working.Figure) bool {
	if f.Key != "" {
		if known, ok := r.p.Workings.Find(f.Key); ok {
			f = known
		}
	}
	_, ok := r.number[f]
	return ok
}

// marks joins the marks of several keys.
func (r *refs) marks(keys []string) string {
	var out []string
	for _, k := range keys {
		if m := r.mark(k); m != "" {
			out = append(out, m)
		}
	}
	return strings.Join(out, " ")
}

// checkMark refers to the deciding working of a result; "" when it is a question
// that nothing was worked out for.
func (r *refs) checkMark(figures []*working.Figure) string {
	for _, f := range figures {
		if f.Key != "" {
			return r.of(f)
		}
	}
	if len(figures) > 0 {
		return r.of(figures[0])
	}
	return ""
}

// with puts a mark behind a text, where there is one.
func with(text, mark string) string {
	if mark == "" {
		return text
	}
	return text + " " + mark
}

// num prints a number in the job's locale.
func (d *pack) num(v float64, decimals int) string {
	return unit.Number(v, decimals, d.p.Job.Site.Locale)
}

// count prints a quantity that is mostly whole: "7", but "3.7" where it is not.
func (d *pack) count(v float64) string {
	if r := float64(int64(v + 0.5)); v-r < 1e-6 && r-v < 1e-6 {
		return d.num(r, 0)
	}
	return d.num(v, 1)
}

// quantity prints a figure in the job's locale.
func (d *pack) quantity(f *working.Figure) string {
	if f.Text != "" {
		return d.local(f.Text)
	}
	text := d.value(f.Value)
	if f.Low != 0 || f.High != 0 {
		text += " (" + d.value(f.Low) + "–" + d.value(f.High) + ")"
	}
	if f.Unit != "" {
		text += " " + working.UnitOf(f.Value, f.Unit)
	}
	return text
}

func (d *pack) value(v float64) string {
	return strings.Replace(working.Number(v), ".", unit.DecimalMark(d.p.Job.Site.Locale), 1)
}

// decimal is a number with a decimal point, and what stands before and after it.
var decimal = regexp.MustCompile(`(^|[^0-9A-Za-z.\[_])([0-9]+)\.([0-9]+)`)

// clausal words come before the number of a place in a standard, which keeps its points.
var clausal = regexp.MustCompile(
	`(?i)(table|clause|eq\.?|figure|fig\.|section|part|annex|expression|note|§|version|document [A-Z]\d*|` +
		`EN|ISO|BS|DIN|NF|UNI|[0-9]{4}[:-])\s*$`)

// local puts the locale's decimal mark into a sentence of the plan. Places in
// standards ("6.1.6", "table 4.1") and names of fields and files keep their points.
func (d *pack) local(text string) string {
	mark := unit.DecimalMark(d.p.Job.Site.Locale)
	if mark == "." || !strings.Contains(text, ".") {
		return text
	}
	var b strings.Builder
	last := 0
	for _, m := range decimal.FindAllStringSubmatchIndex(text, -1) {
		dot := m[5] // the end of the whole part
		chain := m[1] < len(text) && text[m[1]] == '.' && m[1]+1 < len(text) && text[m[1]+1] >= '0' && text[m[1]+1] <= '9'
		if chain || m[1] < len(text) && text[m[1]] == '.' && strings.HasPrefix(text[m[1]:], ".y") || clausal.MatchString(text[:m[4]]) {
			continue
		}
		b.WriteString(text[last:dot])
		b.WriteString(mark)
		last = dot + 1
	}
	b.WriteString(text[last:])
	return b.String()
}

// source prints where something comes from. The numbers of standards keep their points;
// what is said in words about a habit or a default has the locale's mark.
func (d *pack) source(s working.Source) string {
	switch s.Standing {
	case working.CommonPractice, working.Assumed, working.Supplier:
		return d.local(s.String())
	}
	return s.String()
}

// date prints the job's day as its country writes it.
func (d *pack) date() string { return dateWords(d.p.Job.Date, d.p.Job.Site.Locale) }

func dateWords(date, locale string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	language, region, _ := strings.Cut(locale, "-")
	switch {
	case locale == "en-US":
		return t.Format("January 2, 2006")
	case language == "en", language == "":
		return t.Format("2 January 2006")
	case language == "fr", language == "it", language == "es", language == "pt":
		return t.Format("02/01/2006")
	case language == "de" || language == "pl" || language == "cs" || region == "CH":
		return t.Format("02.01.2006")
	}
	return date
}
