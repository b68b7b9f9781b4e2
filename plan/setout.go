package plan

import (
	"fmt"

	"gelwright/settingout"
)

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
			d.Base.Kind = "sound deck" // the carrier boards lie on insulation over the structural deck
		}
		zones, err := m.windZones(&d, &m.plan.Decks[i])
		if err != nil {
			return err
		}
		given := settingout.Given{Supply: supply, Zones: zones}
		s, err := settingout.MakeFrom(m.ctx, d, m.job.Spec, given)
		if err != nil {
			return err
		}
		supply = supply.Less(s)
		m.plan.Decks[i].SetOut, m.plan.Decks[i].Given = s, given
		if m.job.Spec.Build == "warm" && m.job.Spec.Insulation != nil {
			lines := screwLines(&m.plan.Decks[i])
			if two {
				lines = m.plan.Decks[i].Structural.Supports
			}
			carrierScrews(&m.plan.Decks[i].SetOut, lines, m.job.Spec.Board, zones)
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
