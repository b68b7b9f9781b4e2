package plan

import (
	"fmt"
	"math"
	"slices"

	"gelwright/check/wind"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
)

// assumedWindMS stands in for a national wind map that nobody has read, m/s.
const assumedWindMS = 24

// assumedScrewN is the design pull-out of one 5 mm screw in 35 mm of softwood, N: EN
// 1995-1-1 8.7.2 gives more; a pull-out test on the deck outranks it.
const assumedScrewN = 450

// oneStoreyM is how far a wall rises above a roof where nobody has said, m.
const oneStoreyM = 2.5

// wallRiseM returns how far a wall rises above the deck: to the deck it steps up to,
// or one storey of 2.5 m.
func (m *maker) wallRiseM(d *roof.Deck, e roof.Edge) float64 {
	for k := range m.job.Decks {
		if m.job.Decks[k].Name == e.To && m.job.Decks[k].LevelM > d.LevelM {
			return m.job.Decks[k].LevelM - d.LevelM
		}
	}
	best := math.Inf(1)
	for k := range m.job.Decks {
		if rise := m.job.Decks[k].LevelM - d.LevelM; rise > 0.1 && e.Condition == roof.Wall {
			best = math.Min(best, rise)
		}
	}
	if !math.IsInf(best, 1) {
		return best
	}
	return oneStoreyM
}

// wallWhy says on what the wall above a deck rests: empty where every rise is that of a
// deck drawn above.
func (m *maker) wallWhy(d *roof.Deck) string {
	for _, e := range d.Edges {
		if e.Condition == roof.Wall && m.wallRiseM(d, e) == oneStoreyM {
			return fmt.Sprintf("the walls' height is not in the roof file: one storey of %g m is taken", oneStoreyM)
		}
	}
	return ""
}

// away returns the depth of the deck square to an edge, m.
func away(d *roof.Deck, edge int) float64 {
	e := d.Outline.Edge(edge)
	inward := e.B.Sub(e.A).Unit().Left()
	depth := 0.0
	for _, p := range d.Outline.Chords(0.01) {
		depth = math.Max(depth, p.Sub(e.A).Dot(inward))
	}
	return depth
}

// windSite is the site as the wind rules see one deck.
func (m *maker) windSite(d *roof.Deck) wind.Site {
	site := wind.Site{BasicMS: m.job.Site.BasicWindMS, Given: m.job.Site.BasicWindMS > 0, AltitudeM: m.job.Site.AltitudeM, Terrain: m.job.Site.Terrain, HeightM: m.job.Site.EavesM, Hill: m.job.Site.Hill}
	if !site.Given {
		site.BasicMS = assumedWindMS
	}
	for _, e := range d.Edges {
		if e.Condition == roof.Parapet {
			// The lowest parapet shelters least.
			if h := e.HeightMM / 1000; site.ParapetM == 0 || h < site.ParapetM {
				site.ParapetM = h
			}
		}
	}
	// A parapet helps only where it runs all round; a single one does not.
	for _, e := range d.Edges {
		if e.Condition == roof.Drip || e.Condition == roof.Verge || e.Condition == roof.Kerb {
			site.ParapetM = 0
		}
	}
	return site
}

// windZones draws the wind zones of a deck, with the fixing centres asked for there.
func (m *maker) windZones(d *roof.Deck, out *Deck) ([]settingout.Zone, error) {
	if d.Base.Kind == "concrete" {
		return nil, nil
	}
	zones, err := wind.ZonesOn(out.Net, d.Outline, m.windSite(d))
	if err != nil {
		return nil, err
	}
	var list []settingout.Zone
	for _, z := range zones {
		s := settingout.Zone{Name: string(z.Zone), Area: z.Area}
		switch z.Zone {
		case wind.Corner:
			s.CentresMM = m.job.Spec.Board.CornerFixMM
		case wind.Perimeter:
			s.CentresMM = m.job.Spec.Board.PerimeterFixMM
		}
		list = append(list, s)
	}
	return list, nil
}

// leastZoneM2 is the area of a zone under which a count of its fixings says nothing;
// the deck's mean stands for it.
const leastZoneM2 = 0.25

// boardFixing is what holds the boards down, zone by zone, as they were set out. Over an
// old deck only the screws along the joists count: what ends in the old deck holds nothing.
func (m *maker) boardFixing(job *roof.Deck, out *Deck) wind.Fixing {
	b := m.job.Spec.Board
	perM2 := 0.0
	count := 0
	s := settingout.SetOut{Pieces: out.SetOut.Pieces, Fixings: out.SetOut.Fixings, FixingZones: out.SetOut.FixingZones}
	if job.Base.Kind == "sound deck" && !m.throughInsulation() {
		s.Fixings = slices.Clone(s.Fixings)
		joistScrews(&s, screwLines(out), b, out.Given.Zones)
	}
	for _, f := range s.Fixings {
		count += f.Edge + f.Field
	}
	if out.NetM2 > 0 {
		perM2 = float64(count) / out.NetM2
	}
	fixing := wind.Fixing{Layer: "boards", ResistanceN: assumedScrewN, TributaryM2: 1, DeadKPa: b.ThicknessMM * 0.0064, PerM2: [4]float64{perM2, perM2, perM2, perM2}}
	for i, z := range s.FixingZones {
		if i < len(fixing.PerM2) && z.AreaM2 >= leastZoneM2 && z.Count > 0 {
			fixing.PerM2[i] = z.PerM2
		}
	}
	return fixing
}

func (m *maker) wind(d *roof.Deck, out *Deck) error {
	site := m.windSite(d)
	b := m.job.Spec.Board
	if d.Base.Kind == "concrete" {
		return nil
	}
	results, pressure, demands, err := wind.Check(site, m.plan.Set, m.boardFixing(d, out))
	if err != nil {
		return err
	}
	trims, err := wind.CheckTrim(pressure, wind.Trim{ExposedM: 0.15, CloutSpacingMM: cloutMM, DiameterMM: 3, PenetrationMM: b.ThicknessMM, DensityKGPerM3: boardDensityKGPerM3}, m.plan.Set)
	if err != nil {
		return err
	}
	m.addCheck(trims, "deck "+d.Name)
	zones, err := wind.ZonesOn(out.Net, d.Outline, site)
	if err != nil {
		return err
	}
	for i, z := range zones {
		if len(z.Area) == 0 {
			continue
		}
		out.Zones = append(out.Zones, WindZone{Zone: string(z.Zone), Words: z.Zone.Words(), AreaM2: plane.TotalArea(z.Area), Area: z.Area, NetKPa: demands[i].NetKPa, FastenersPerM2: demands[i].Needed})
		r := results[i]
		r.Where = "deck " + d.Name + ", " + r.Where
		for _, f := range r.Working {
			f.Key = "check.wind." + d.Name + "." + string(z.Zone)
		}
		m.addCheck(r, "")
	}
	return nil
}

// WindZone is a zone of one deck with its uplift.
type WindZone struct {
	Zone           string          `json:"zone"`
	Words          string          `json:"words"`
	AreaM2         float64         `json:"area_m2"`
	NetKPa         float64         `json:"uplift_kpa"`
	FastenersPerM2 float64         `json:"fasteners_per_m2"`
	Area           []plane.Polygon `json:"area"`
}
