package plan

import (
	"fmt"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/working"
)

// fields takes the strips along movement joints out of what is laminated as field, and
// adds their battens, laminated over, to the upstands.
func (m *maker) fields(d *Deck) error {
	d.Fields, d.FieldM2 = d.Net, d.SlopeM2
	slope, _ := m.plan.Workings.Find("deck." + d.Name + ".slope")
	if len(d.SetOut.MovementJoints) == 0 {
		return nil
	}
	var strips []plane.Polygon
	raisedM := 0.0
	for _, j := range d.SetOut.MovementJoints {
		strips = append(strips, plane.Polygon{Outer: j.Strip()})
		if j.Raised {
			raisedM += j.BuiltM()
		}
	}
	var err error
	for _, s := range strips {
		if d.Fields, err = plane.Difference(d.Fields, []plane.Polygon{s}); err != nil {
			return err
		}
	}
	net := plane.TotalArea(d.Net)
	taken := net - plane.TotalArea(d.Fields)
	d.FieldM2 = d.SlopeM2 * (1 - taken/net)
	length := d.SetOut.Figure("setout." + d.Name + ".movement_joints")
	m.figure(working.Calc("Af", "area of deck "+d.Name+" less the strips along movement joints", d.FieldM2, "m²", "Af = As·(1 − At/A)", derived, slope,
		working.Calc("At", "strips along the movement joints, on plan", taken, "m²", "sum of length × twice the distance at which the fields end, crossings once", derived, length)).Keyed("deck." + d.Name + ".field"))
	if raisedM == 0 {
		return nil
	}
	const sides = 2 * (settingout.JointHighMM + settingout.JointBattenMM) / 1000.0
	d.UpstandM2 += raisedM * sides
	up, _ := m.plan.Workings.Find("deck." + d.Name + ".upstand")
	m.figure(working.Calc("Au", "upstands, kerbs and joint battens of deck "+d.Name, d.UpstandM2, "m²", "Au = Au of edges and openings + Σ L·2·(h + b) of raised movement joints", derived, up,
		working.Calc("L", "raised movement joints as built", raisedM, "m", "sum of lengths less crossings", derived),
		working.Constant("h + b", "up the batten and over it", sides*500, "mm", working.Source{Title: "battens 38 × 50 mm", Standing: working.CommonPractice})).Keyed("deck." + d.Name + ".upstand_all"))
	return nil
}

// boards sets out what the laminate lies on: carrier boards where there are two decks.
func (m *maker) boards(d roof.Deck, given settingout.Given, two bool) (settingout.SetOut, error) {
	if two {
		return m.carriers(d, given)
	}
	return settingout.MakeFrom(m.ctx, d, m.job.Spec, given)
}

// setOut sets out every deck piece by piece.
func (m *maker) setOut() error {
	t := &m.plan.Totals
	supply := m.supply()
	for i := range m.job.Decks {
		d := m.job.Decks[i]
		two := m.twoDecks(&d)
		if two {
			under, err := m.structural(d)
			if err != nil {
				return err
			}
			m.plan.Decks[i].Structural = under
			for _, f := range under.Figures {
				m.figure(f)
			}
			for _, mat := range under.Materials {
				t.Boards += mat.Items
			}
		}
		zones, err := m.windZones(&d, &m.plan.Decks[i])
		if err != nil {
			return err
		}
		given := settingout.Given{Supply: supply, Zones: zones}
		s, err := m.boards(d, given, two)
		if err != nil {
			return err
		}
		supply = supply.Less(s)
		m.plan.Decks[i].SetOut, m.plan.Decks[i].Given = s, given
		if err := m.fields(&m.plan.Decks[i]); err != nil {
			return fmt.Errorf("deck %q: movement joints: %w", d.Name, err)
		}
		if m.job.Spec.Build == "warm" && m.job.Spec.Insulation != nil {
			lines := screwLines(&m.plan.Decks[i])
			if two {
				lines = m.plan.Decks[i].Structural.Supports
			}
			perM2, err := m.uplifts(&d, zones)
			if err != nil {
				return err
			}
			if err := carrierScrews(d.Name, &m.plan.Decks[i].SetOut, lines, !two, m.job.Spec.Board, zones, perM2); err != nil {
				return err
			}
			s = m.plan.Decks[i].SetOut
		}
		for _, f := range s.Figures {
			m.figure(f)
		}
		for _, mat := range s.Materials {
			switch mat.Kind {
			case settingout.Board:
				t.Boards += mat.Items
			case settingout.Mat:
				t.MatM2 += mat.Bought
			}
		}
		for _, p := range s.Pieces {
			switch p.Kind {
			case settingout.Trim:
				if p.MovementJoint() {
					break
				}
				t.TrimM += float64(p.LengthMM) / 1000
			case settingout.Bandage:
				t.BandageM += float64(p.LengthMM) / 1000
			}
		}
		if len(s.Of(settingout.Mat)) == 0 {
			return fmt.Errorf("deck %q: no mat was set out", d.Name)
		}
	}
	return nil
}
