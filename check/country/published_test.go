package country

import (
	"reflect"
	"strings"
	"testing"

	"gelwright/internal/published"
)

// row is one national value as the text says it.
type row struct {
	set, field string
	want       float64
	clause     string
}

// values holds every known value of every set, transcribed apart from the code. A set
// without a row of its own takes the row of the set it builds on.
func values() []row {
	return []row{
		{"", "AirDensity", 1.25, "EN 1991-1-4:2005 4.5 NOTE 2"},
		{"", "WindFactor", 1.50, "EN 1990:2002 table A1.2(A), variable action (from memory)"},
		{"", "RoofImposed", 0.40, "EN 1991-1-1:2002 table 6.10, category H, recommended (from memory)"},
		{"", "RoofPoint", 1.00, "EN 1991-1-1:2002 table 6.10, category H, recommended (from memory)"},
		{"", "BalconyLoad", 2.50, "EN 1991-1-1:2002 table 6.2, balconies, recommended (from memory)"},
		{"", "ExceptionalFactor", 2, "EN 1991-1-3 4.3 NOTE, recommended"},
		{"", "SolidTimberFactor", 1.30, "EN 1995-1-1:2004 table 2.3"},
		{"", "PanelFactor", 1.20, "EN 1995-1-1:2004 table 2.3, OSB and plywood (from memory)"},
		{"", "LeastFall", 80, "practice; BS 6229:2018 has it so"},
		{"", "DesignFall", 40, "practice; BS 6229:2018 has it so"},
		{"", "LeastUpstand", 150, "practice; BS 6229:2018 has it so"},
		{"", "LeastThreshold", 75, "practice; British warranty guidance has it so"},
		{"", "GuardHeight", 1100, "common guarding height of balconies"},
		{"", "TemperatureFactor", 0.75, "practice; BRE IP 1/06 has it so"},
		{"", "StyreneLong", 20, "a cautious limit, no text"},
		{"", "StyreneShort", 40, "a cautious limit, no text"},
		{"", "LargestField", 50, "a supplier's public guidance"},

		{"GB", "LeastFall", 80, "BS 6229:2018, finished fall"},
		{"GB", "DesignFall", 40, "BS 6229:2018, design fall"},
		{"GB", "LeastUpstand", 150, "BS 6229:2018, upstands (from memory)"},
		{"GB", "LeastThreshold", 75, "warranty guidance, level thresholds (from memory)"},
		{"GB", "TemperatureFactor", 0.75, "BRE IP 1/06, dwellings"},
		{"GB-ENG", "BasicWind", 27, "above the map's highest line in England (from memory)"},
		{"GB-WLS", "BasicWind", 27, "above the map's highest line in Wales (from memory)"},
		{"GB-NIR", "BasicWind", 28, "above the map's highest line there (from memory)"},
		{"GB-SCT", "BasicWind", 31, "UK NA figure NA.1, Shetland (from memory)"},
		{"IE", "BasicWind", 28, "Irish NA, highest line (from memory)"},
		{"DE", "BasicWind", 30, "DIN EN 1991-1-4/NA, zone 4 (from memory)"},
		{"GB", "AirDensity", 1.226, "UK NA to BS EN 1991-1-4 NA.2.18: qb = 0.613·v²"},
		{"GB", "RoofImposed", 0.60, "UK NA to BS EN 1991-1-1 table NA.7 (from memory)"},
		{"GB", "RoofPoint", 0.90, "UK NA to BS EN 1991-1-1 table NA.7 (from memory)"},
		{"GB", "Rain", 0.022, "BS EN 12056-3 national annex, one-year two-minute storm of London, by the gutter trade"},
		{"GB", "RainEnclosed", 0.042, "150 mm/h = 0.0417 l/s·m² (from memory)"},
		{"GB", "StyreneLong", 100, "HSE EH40, eight hours"},
		{"GB", "StyreneShort", 250, "HSE EH40, fifteen minutes (from memory)"},
		{"GB", "GuardHeight", 1100, "Approved Document K, balconies (from memory)"},

		{"GB-ENG", "UNew", 0.16, "Approved Document L1 2021, limiting value"},
		{"GB-ENG", "UExtension", 0.15, "Approved Document L1 2021, new elements in existing dwellings"},
		{"GB-ENG", "URefurbish", 0.16, "Approved Document L1 2021, renovated elements"},
		{"GB-SCT", "UNew", 0.12, "Scottish technical handbook 2023 (from memory)"},
		{"GB-SCT", "UExtension", 0.12, "Scottish technical handbook 2023 (from memory)"},
		{"GB-SCT", "URefurbish", 0.18, "Scottish technical handbook, older edition (from memory)"},
		{"GB-SCT", "Rain", 0.022, "London figure, on the safe side of 0.010 to 0.022"},
		{"GB-WLS", "UNew", 0.13, "Approved Document L1 Wales 2022 (from memory)"},
		{"GB-WLS", "UExtension", 0.15, "Approved Document L1 Wales 2022 (from memory)"},
		{"GB-WLS", "URefurbish", 0.16, "Approved Document L1 Wales 2022 (from memory)"},
		{"GB-NIR", "UNew", 0.16, "Technical Booklet F1 2022 (from memory)"},
		{"GB-NIR", "UExtension", 0.16, "Technical Booklet F1 2022 (from memory)"},
		{"GB-NIR", "URefurbish", 0.16, "Technical Booklet F1 2022 (from memory)"},

		{"IE", "Rain", 0.021, "75 mm/h = 0.0208 l/s·m²"},
		{"IE", "RainEnclosed", 0.042, "150 mm/h = 0.0417 l/s·m²"},
		{"IE", "RoofImposed", 0.60, "Irish NA to EN 1991-1-1 (from memory)"},
		{"IE", "RoofPoint", 0.90, "Irish NA to EN 1991-1-1 (from memory)"},
		{"IE", "UNew", 0.20, "Technical Guidance Document L 2022, flat roof (from memory)"},
		{"IE", "UExtension", 0.20, "Technical Guidance Document L 2022 (from memory)"},
		{"IE", "URefurbish", 0.25, "Technical Guidance Document L 2022, material alteration (from memory)"},
		{"IE", "StyreneLong", 20, "Irish code of practice on chemical agents (from memory)"},
		{"IE", "StyreneShort", 40, "Irish code of practice on chemical agents (from memory)"},

		{"DE", "ExceptionalFactor", 2.3, "DIN EN 1991-1-3/NA:2010-12 4.3, North German Plain"},
		{"DE", "UNew", 0.20, "GEG, reference building, roof (from memory)"},
		{"DE", "UExtension", 0.20, "GEG annex 7 (from memory)"},
		{"DE", "URefurbish", 0.20, "GEG annex 7, flat roof (from memory)"},
		{"DE", "StyreneLong", 20, "TRGS 900: 86 mg/m³ (from memory)"},
		{"DE", "StyreneShort", 40, "TRGS 900, excursion factor 2 (from memory)"},
	}
}

// bases names a set and those it builds on, nearest first.
func bases(code string) []string {
	if strings.HasPrefix(code, "GB-") {
		return []string{code, "GB", ""}
	}
	return []string{code, ""}
}

func TestEveryNationalValueIsThePublishedOne(t *testing.T) {
	for _, s := range append(sets(), Recommended()) {
		v := reflect.ValueOf(s)
		for i := 0; i < v.NumField(); i++ {
			value, ok := v.Field(i).Interface().(Value)
			if !ok {
				continue
			}
			field := v.Type().Field(i).Name
			r, held := lookUp(s.Code, field)
			switch {
			case held != value.Known:
				t.Errorf("%s %s: held %v, transcribed %v", s.Name, field, value.Known, held)
			case held:
				published.Hold(t, []published.Row{{Clause: r.clause, Place: s.Name + " " + field, Got: value.Value, Want: r.want}})
			}
		}
	}
}

// The greatest value of each national map of the basic wind velocity, m/s, transcribed apart (from memory).
func TestTopsOfTheWindMaps(t *testing.T) {
	want := map[string]float64{"GB": 31, "GB-ENG": 27, "GB-WLS": 27, "GB-NIR": 28, "IE": 28, "DE": 30, "FR": 28, "BE": 26, "NL": 29.5, "LU": 26,
		"DK": 27, "NO": 31, "ES": 29, "PT": 30, "IT": 31}
	for code, top := range want {
		published.Hold(t, []published.Row{{Clause: "national map of basic wind velocities (from memory)", Place: "mapTop(" + code + ")",
			Got: mapTop(code).Value, Want: top}})
	}
	if len(want) != len(mapTops) {
		t.Errorf("%d maps are held, %d transcribed", len(mapTops), len(want))
	}
}

// SCI advisory note AD 484 on NA.2.2 and NA.2.3 of the UK annex: case B2 of table A.1, no exceptional falls, drifts by annex B.
// Of no other country is the choice held, so nothing may be left out there.
func TestDesignSituationsOfSnow(t *testing.T) {
	for _, s := range append(sets(), Recommended()) {
		uk := strings.HasPrefix(s.Code, "GB")
		if s.ExceptionalFalls.Known != uk || s.ExceptionalFalls.Yes || s.ExceptionalDrifts.Known != uk || s.ExceptionalDrifts.Yes != uk {
			t.Errorf("%s: falls %+v, drifts %+v", s.Name, s.ExceptionalFalls, s.ExceptionalDrifts)
		}
	}
}

func lookUp(code, field string) (row, bool) {
	for _, base := range bases(code) {
		for _, r := range values() {
			if r.set == base && r.field == field {
				return r, true
			}
		}
	}
	return row{}, false
}

// Great Britain's annexes correct the wind for altitude and give snow by a formula; Ireland
// and Germany have neither.
func TestWhoseAnnexGivesFormulas(t *testing.T) {
	for code, want := range map[string]bool{"GB-ENG": true, "GB-SCT": true, "GB-WLS": true, "GB-NIR": true, "IE": false, "DE": false} {
		if s, _ := For(code); s.AltitudeUK != want || s.SnowFormulaUK != want || !s.National {
			t.Errorf("%s: altitude %v, snow %v, national %v", code, s.AltitudeUK, s.SnowFormulaUK, s.National)
		}
	}
	for _, code := range []string{"GB", " uk "} {
		if s, cautions := For(code); s.Code != "GB-ENG" || len(cautions) != 1 {
			t.Errorf("%q is read as %s with %q", code, s.Code, cautions)
		}
	}
	// What a value says of itself.
	s, _ := For("GB-ENG")
	if f := s.UNew.Figure("U"); f.Value != 0.16 || f.Symbol != "U" || f.Unit != "W/m²K" {
		t.Errorf("figure %+v", f)
	}
	if m := s.GroundSnow.Missing("England"); !strings.Contains(m, "ground snow load") || !strings.Contains(m, "England") {
		t.Error(m)
	}
	if f := s.StyreneShort.Flag(); !strings.Contains(f, "250 ppm") {
		t.Error(f)
	}
	if f := Recommended().LargestField.Flag(); !strings.Contains(f, "common practice") {
		t.Error(f)
	}
}
