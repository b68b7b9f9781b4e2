package gelfile

import (
	"strings"
	"testing"
)

func FuzzGelLog(f *testing.F) {
	f.Add("drum,temp_c,catalyst_pct,mix_kg,gel_min\nA,12.5,2.3,4,33\n")
	f.Add("temp_c;catalyst_ml;mix_kg;gel_min\n12,5;80;4;33\n\"")
	f.Fuzz(func(t *testing.T, text string) {
		log, err := ReadLog("log", strings.NewReader(text), func(string) float64 { return 1.15 })
		if err != nil {
			return
		}
		for i, g := range log.Gels {
			if !(g.Min > 0 && g.CatalystPct > 0 && g.CatalystPct <= 10 && g.TempC >= -10 && g.TempC <= 50 && log.KG[i] >= 0) || log.Lines[i] < 2 {
				t.Fatalf("%+v, %g kg, line %d passed the door", g, log.KG[i], log.Lines[i])
			}
		}
	})
}
