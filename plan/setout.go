package plan

import (
	"fmt"

	"gelwright/roof"
	"gelwright/settingout"
)

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
