package plan_test

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/scene/svg"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares with a file of testdata. The files are regression only: they show
// what moved, not what is right; look at them before they are renewed.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(got, want) {
		return
	}
	a, b := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	for i := range max(len(a), len(b)) {
		var was, is string
		if i < len(a) {
			was = a[i]
		}
		if i < len(b) {
			is = b[i]
		}
		if was != is {
			t.Errorf("%s, line %d:\n was %.200s\n is  %.200s\nlook at it, then run go test ./plan -update", file, i+1, was, is)
			return
		}
	}
}

// outline is a plan on a page: what a person would compare with the last one.
func outline(p *plan.Plan) []byte {
	var b bytes.Buffer
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	t := p.Totals
	line("%s", p.Job.Name)
	line("net %.4f m2, resin %.2f kg, top coat %.2f kg, catalyst %.0f g, %d buckets, %d boards, trim %.2f m, bandage %.2f m, mat %.2f m2",
		t.NetM2, t.ResinKG, t.CoatKG, t.CatalystG, t.Buckets, t.Boards, t.TrimM, t.BandageM, t.MatM2)
	for _, d := range p.Decks {
		line("\ndeck %s: gross %.4f, openings %.4f, net %.4f, slope %.4f, upstand %.4f, coat %.3f m2; around %.4f m; high %.1f mm; fall "+
			"1:%.1f; laminate %.2f mm, glass %.1f %%",
			d.Name, d.GrossM2, d.OpeningsM2, d.NetM2, d.SlopeM2, d.UpstandM2, d.CoatM2, d.EdgeM, d.HighestMM, d.LeastFall, d.LaminateMM, d.GlassPct)
		for _, e := range d.EdgeByCondition {
			line("  %s %.4f m", e.Condition, e.LengthM)
		}
		for _, w := range d.Waters {
			line("  rain to %s: %.3f m2", w.Name, w.AreaM2)
		}
		for _, m := range d.SetOut.Materials {
			line("  %s: %d %s, bought %.3f, used %.3f, bound %.3f, optimal %v", m.Name, m.Items, m.Unit, m.Bought, m.Used, m.Bound, m.Optimal)
		}
		count := map[string]int{}
		var kinds []string
		for _, x := range d.SetOut.Pieces {
			k := fmt.Sprintf("%s %s", x.Kind, x.Role)
			if count[k] == 0 {
				kinds = append(kinds, k)
			}
			count[k]++
		}
		for _, k := range kinds {
			line("  %d × %s", count[k], k)
		}
		line("  %d firrings", len(d.Firrings))
		for _, z := range d.Zones {
			line("  zone %s: %.2f m2, uplift %.2f kN/m2", z.Zone, z.AreaM2, z.NetKPa)
		}
	}
	line("\nbuckets")
	for _, x := range p.Passes {
		if x.Plan == nil {
			line("  %s %s %d: refused: %s", x.Deck, x.Kind, x.Layer, x.Refusal)
			continue
		}
		line("  %s %s %d: %d buckets, %.2f kg, %.2f m2, %d days, %s, %s", x.Deck, x.Kind, x.Layer, len(x.Plan.Mixes), x.KG, x.AreaM2,
			x.Plan.Days, x.Plan.How, x.Plan.Claim)
		for i, m := range x.Plan.Mixes {
			if i >= 3 && i < len(x.Plan.Mixes)-1 {
				continue
			}
			line("    %d: %.2f kg + %.0f ml (%.1f g, %.2f %%) at %.1f C, gel %.0f to %.0f min, %.2f m2, day %d", m.Number, m.ResinKG, m.CatalystML,
				m.CatalystG, m.DosePct, m.TempC, m.Gel.LowMin, m.Gel.HighMin, m.AreaM2, m.Day)
		}
	}
	line("\norder")
	for _, l := range p.Order.Schedule.Lines {
		line("  %s: net %.3f, gross %.3f, order %s", l.MaterialKey, l.Net, l.Gross, l.OrderText())
	}
	line("\nchecks")
	for _, r := range p.Checks {
		line("  %-14s %s [%s] %.3f", r.Verdict, r.Key, r.Where, r.Utilisation)
	}
	line("\nfindings")
	for _, f := range p.Findings {
		line("  %s [%s]", f.Code, f.Where)
	}
	line("\n%d steps, %d figures, %d defaults", len(p.Method), len(p.Workings.Keys()), len(p.Job.Defaults))
	return b.Bytes()
}

var goldenRoofs = []string{"r01-garage", "r03-bay", "r04-l-shape", "r12-hall"}

func TestNumbersOfFourRoofs(t *testing.T) {
	for _, name := range goldenRoofs {
		golden(t, name+".golden", outline(planned(t, name+".yaml")))
	}
}

// TestDrawingsOfFourRoofs keeps the roof plan, the boards, the mat and the buckets. Of
// the hall, whose sheets are large, the lettering by count and the hash of the bytes.
func TestDrawingsOfFourRoofs(t *testing.T) {
	for _, name := range goldenRoofs {
		p := planned(t, name+".yaml")
		roofPlan, err := drawing.RoofPlan(&p.Job)
		if err != nil {
			t.Fatal(err)
		}
		sheets, err := drawing.PlanSheets(p)
		if err != nil {
			t.Fatal(err)
		}
		for k, s := range sheets {
			s.Number(2+k, 1+len(sheets))
		}
		kept := 0
		// Two small drawings share a sheet: each is kept as it is.
		all := []*drawing.Sheet{roofPlan}
		for _, s := range sheets {
			if s.Halves != nil {
				all = append(all, s.Halves...)
				continue
			}
			all = append(all, s)
		}
		for _, s := range all {
			title := strings.ToLower(s.Scene.Title)
			var sheet string
			switch {
			case s == roofPlan:
				sheet = "roof-plan"
			case strings.Contains(title, "boards"):
				sheet = "boards"
			case strings.Contains(title, "set-out of mat"):
				sheet = "mat"
			case strings.Contains(title, "buckets") && strings.Contains(title, "mat"):
				sheet = "buckets"
			default:
				continue
			}
			if k := strings.Index(title, "part "); k >= 0 {
				// A deck too large for one sheet: each part is kept.
				sheet += "-" + strings.Fields(title[k:])[1]
			}
			kept++
			raw := svg.Bytes(s.Scene, svg.Options{})
			if name != "r12-hall" {
				golden(t, fmt.Sprintf("drawings/%s-%s.svg", name, sheet), raw)
				continue
			}
			golden(t, fmt.Sprintf("drawings/%s-%s.txt", name, sheet), fmt.Appendf(nil, "%d bytes, %d letterings, %d polygons\nsha256 %x\n",
				len(raw), bytes.Count(raw, []byte("<text")), bytes.Count(raw, []byte("<path"))+bytes.Count(raw, []byte("<polygon")),
				sha256.Sum256(raw)))
		}
		if kept < 4 {
			t.Errorf("%s: only %d of four sheets found", name, kept)
		}
	}
}
