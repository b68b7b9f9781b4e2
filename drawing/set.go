package drawing

import (
	"gelwright/roof"
	"gelwright/scene/dxf"
)

// Survey draws the plan and the sections of a job as one numbered set. more is
// how many sheets the caller will add behind them.
func Survey(job *roof.Job, more int) ([]*Sheet, error) {
	count, err := Sections(job, 2, 0)
	if err != nil {
		return nil, err
	}
	of := 1 + len(count) + more
	plan, err := RoofPlan(job, 1, of)
	if err != nil {
		return nil, err
	}
	sections, err := Sections(job, 2, of)
	if err != nil {
		return nil, err
	}
	return append([]*Sheet{plan}, sections...), nil
}

// DXF writes a plan for drawing programs: real millimetres from the survey's own
// origin, without the sheet's frame and key.
func (s *Sheet) DXF() []byte {
	return dxf.Bytes(s.Scene, dxf.Options{Scale: s.Scale, Origin: s.Origin, Skip: []string{"sheet", "key"}})
}
