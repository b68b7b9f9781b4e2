package framing

import (
	"gelwright/check/country"
	"gelwright/check/wind"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
)

// assumedScrewN is the design pull-out of one 5 mm screw in 35 mm of softwood, N: EN
// 1995-1-1 8.7.2 gives more; a pull-out test on the deck outranks it.
const assumedScrewN = 450

// WindSite is the site as the wind rules see one deck.
func WindSite(s roof.Site, d *roof.Deck) wind.Site {
	site := wind.Site{BasicMS: s.BasicWindMS, Given: s.BasicWindMS > 0, AltitudeM: s.AltitudeM, Terrain: s.Terrain, HeightM: s.EavesM,
		Hill: s.Hill}
	if !site.Given {
		// Nobody has read the map: the worst that it may say stands in.
		set, _ := country.For(s.Country)
		site.BasicMS, site.MapTopKnown = country.WorstWindMS, set.BasicWind.Known
		if set.BasicWind.Known {
			site.BasicMS = set.BasicWind.Value
		}
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
func windZones(d *roof.Deck, net []plane.Polygon, site wind.Site, b roof.Board) ([]settingout.Zone, error) {
	if d.Base.Kind == "concrete" {
		return nil, nil
	}
	zones, err := wind.ZonesOn(net, d.Outline, site)
	if err != nil {
		return nil, err
	}
	var list []settingout.Zone
	for _, z := range zones {
		s := settingout.Zone{Name: string(z.Zone), Area: z.Area}
		switch z.Zone {
		case wind.Corner:
			s.CentresMM = b.CornerFixMM
		case wind.Perimeter:
			s.CentresMM = b.PerimeterFixMM
		}
		list = append(list, s)
	}
	return list, nil
}

// leastZoneM2 is the area of a zone under which a count of its fixings says nothing;
// the deck's mean stands for it.
const leastZoneM2 = 0.25
