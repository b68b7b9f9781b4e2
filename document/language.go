package document

import (
	"context"
	"strings"

	"gelwright/drawing"
	"gelwright/language"
	"gelwright/language/known"
	"gelwright/plan"
	"gelwright/scene/reading"
)

// speakerOf says papers in the language of a plan's job; nil for English. What people have called things stays as it is.
func speakerOf(p *plan.Plan) *language.Speaker {
	c := known.Catalogue(p.Job.Site.Language)
	if c == nil {
		return nil
	}
	return language.NewSpeaker(c, p.Job.Names()...)
}

// printed is a plan with its language's decimal mark, and with who says its papers in it.
func printed(p *plan.Plan) *plan.Plan {
	in := speakerOf(p)
	if in == nil {
		return p
	}
	out := *p
	out.Job.Site.Said = in
	if !strings.HasPrefix(p.Job.Site.Locale, in.Code()+"-") {
		out.Job.Site.Locale = in.Locale()
	}
	return &out
}

// Unsaid are the texts of a plan's papers that have no form in their language, none for English.
func Unsaid(ctx context.Context, p *plan.Plan) ([]string, error) {
	p = printed(p)
	set, err := drawing.Books(p)
	if err != nil {
		return nil, err
	}
	books, err := newBooks(ctx, p, set, nil)
	if err != nil {
		return nil, err
	}
	if _, err := LabelsPDF(p); err != nil {
		return nil, err
	}
	if _, err := Lists(p); err != nil {
		return nil, err
	}
	return books.site.in.Missing(), nil
}

// saidIn puts what is read into the language of the papers, as what is lettered is.
func (d *pack) saidIn(n *reading.Node) {
	if d.in == nil {
		return
	}
	n.Text = d.in.Say(n.Text)
	for _, x := range n.Of {
		d.saidIn(x)
	}
}

// notReadYet says of a translation what it is worth, and what is left out of it.
const notReadYet = "This translation has not been read by a native speaker. Workings, and what has no translation, stand in English, " +
	"which holds."

// notRead stands on the first page of papers that are not in English.
func (d *pack) notRead() {
	if d.in != nil {
		d.write(notReadYet, sizeTiny, false, 0)
	}
}
