package document

import (
	"fmt"

	"gelwright/plan"
	"gelwright/unit"
	"gelwright/working"
)

// refs numbers the workings that the pack's figures point at.
type refs struct {
	p      *plan.Plan
	number map[string]int
	order  []string
}

func newRefs(p *plan.Plan) *refs { return &refs{p: p, number: map[string]int{}} }

// mark returns "[12]" for a figure's key, and "" where nothing was worked out under it.
func (r *refs) mark(key string) string {
	if _, ok := r.p.Workings.Find(key); !ok {
		return ""
	}
	n, ok := r.number[key]
	if !ok {
		r.order = append(r.order, key)
		n = len(r.order)
		r.number[key] = n
	}
	return fmt.Sprintf("[%d]", n)
}

// marks joins the marks of several keys.
func (r *refs) marks(keys []string) string {
	out := ""
	for _, k := range keys {
		if m := r.mark(k); m != "" {
			if out != "" {
				out += " "
			}
			out += m
		}
	}
	return out
}

// checkMark refers to the first keyed working of a result.
func (r *refs) checkMark(figures []*working.Figure) string {
	for _, f := range figures {
		if f.Key != "" {
			if m := r.mark(f.Key); m != "" {
				return m
			}
		}
	}
	return ""
}

// num prints a number in the job's locale.
func (d *pack) num(v float64, decimals int) string {
	return unit.Number(v, decimals, d.p.Job.Site.Locale)
}

// quantity prints a figure in the job's locale.
func (d *pack) quantity(f *working.Figure) string {
	if f.Text != "" {
		return f.Text
	}
	text := d.local(f.Value)
	if f.Low != 0 || f.High != 0 {
		text += " (" + d.local(f.Low) + "–" + d.local(f.High) + ")"
	}
	if f.Unit != "" {
		text += " " + f.Unit
	}
	return text
}

func (d *pack) local(v float64) string {
	text := working.Number(v)
	if mark := unit.DecimalMark(d.p.Job.Site.Locale); mark != "." {
		b := []byte(text)
		for i := range b {
			if b[i] == '.' {
				return string(b[:i]) + mark + string(b[i+1:])
			}
		}
	}
	return text
}
