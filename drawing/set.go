package drawing

import (
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/scene/dxf"
)

// Set is everything that a plan has to show: first what a crew builds from, then what stays on the desk. The sheets of each
// book are numbered by themselves, so that a count agrees with the book that it stands in.
type Set struct {
	Site, Office []*Sheet
}

// All are the sheets in the order of their numbers.
func (s *Set) All() []*Sheet { return append(s.Site[:len(s.Site):len(s.Site)], s.Office...) }

// Books draws the set: the survey, the set-out and the cutting diagrams for the crew; wind,
// water, how it hardens and the days ahead for the office.
func Books(p *plan.Plan) (*Set, error) {
	var out Set
	add := func(sheets []*Sheet, err error) error {
		for _, s := range sheets {
			if s.Office {
				out.Office = append(out.Office, s)
			} else {
				out.Site = append(out.Site, s)
			}
		}
		return err
	}
	for _, draw := range []func() ([]*Sheet, error){
		func() ([]*Sheet, error) { return Survey(&p.Job) },
		func() ([]*Sheet, error) { return PlanSheets(p) },
		func() ([]*Sheet, error) { return CuttingSheets(p) },
		func() ([]*Sheet, error) { return hardeningSheets(p) },
		func() ([]*Sheet, error) { return AheadSheets(&p.Job, p.Ahead) },
	} {
		if err := add(draw()); err != nil {
			return nil, err
		}
	}
	for book, sheets := range map[string][]*Sheet{"site": out.Site, "office": out.Office} {
		for _, s := range sheets {
			s.title.Book = book
		}
		Number(sheets)
	}
	return &out, nil
}

// Number makes sheets one set, in their order.
func Number(sheets []*Sheet) {
	for i, s := range sheets {
		s.Number(i+1, len(sheets))
	}
}

// Survey draws the plan and the sections of a job, on one sheet where that holds both.
func Survey(job *roof.Job) ([]*Sheet, error) {
	plan, err := RoofPlan(job)
	if err != nil {
		return nil, err
	}
	if one := surveyOnOne(job, plan); one != nil {
		return []*Sheet{one}, nil
	}
	sections, err := Sections(job)
	if err != nil {
		return nil, err
	}
	return append([]*Sheet{plan}, sections...), nil
}

// surveyOnOne draws plan and sections as halves of one sheet, the plan as large and as fully
// lettered as on a sheet of its own; nil where one sheet does not hold both so.
func surveyOnOne(job *roof.Job, whole *Sheet) *Sheet {
	for _, f := range halves {
		t := TitleOf(job, "Roof plan")
		t.Seat = &f
		plan, err := roofPlan(job, t, nil)
		if err != nil || plan.Scale > whole.Scale || len(plan.Unplaced) > len(whole.Unplaced) {
			continue
		}
		if sections := sectionsOn(job, f, roofPlanKey(job)); sections != nil {
			return together(job, []*Sheet{plan, sections}, false)
		}
	}
	return nil
}

// DXF writes a plan for drawing programs: real millimetres from the survey's own
// origin, without the sheet's frame and key.
func (s *Sheet) DXF() []byte {
	return dxf.Bytes(s.Scene, dxf.Options{Scale: s.Scale, Origin: s.Origin, Skip: []string{"sheet", "key"}})
}
