package plan_test

import (
	"math"
	"strings"
	"testing"

	"gelwright/cure"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/mixing"
	"gelwright/plan"
	"gelwright/settingout"
)

// passes of a kind, those without buckets left out.
func passes(p *plan.Plan, kind string) []laying.Pass {
	var out []laying.Pass
	for _, x := range p.Passes {
		if x.Kind == kind && x.Plan != nil {
			out = append(out, x)
		}
	}
	return out
}

func sum(mixes []mixing.Mix) (kg float64) {
	for _, m := range mixes {
		kg += m.ResinKG
	}
	return kg
}

// A coat is two acts: cutting in from mixes of half a litre, then the field, which goes over the
// edges again while they are wet; half a litre to the square metre each time. Common practice,
// no source.
func TestTheCoatInTwoActs(t *testing.T) {
	for _, name := range []string{"r01-garage.yaml", "r04-l-shape.yaml", "r10-terrace.yaml"} {
		p := planned(t, name)
		spec := p.Job.Spec
		if spec.TopCoat.KGPerM2 != 0.6 {
			t.Errorf("%s: %g kg/m² by default", name, spec.TopCoat.KGPerM2)
		}
		rate := spec.TopCoat.KGPerM2 * (1 + spec.WastePct.TopCoat/100)
		for i := range p.Decks {
			d := &p.Decks[i]
			edges, field := passOn(t, p, d.Name, laying.CuttingIn), passOn(t, p, d.Name, "top coat")
			if got, want := sum(edges.Plan.Mixes), d.CutInM2*rate; math.Abs(got-want) > 1e-6 || d.CutInM2 < d.UpstandM2 {
				t.Errorf("%s: %.3f kg are cut in on %.2f m², want %.3f", name, got, d.CutInM2, want)
			}
			// The edges are in the field's buckets too: that is their second coat.
			if got, want := sum(field.Plan.Mixes), d.CoatM2*rate; math.Abs(got-want) > 1e-6 {
				t.Errorf("%s: the field takes %.3f kg, want %.3f with its edges", name, got, want)
			}
			for _, m := range edges.Plan.Mixes {
				if m.ResinL > 0.5+1e-9 {
					t.Errorf("%s: bucket %d for cutting in is %.2f l", name, m.Number, m.ResinL)
				}
			}
			if first, rolled := edges.Plan.Mixes[0], field.Plan.Mixes[0]; first.Day != rolled.Day || rolled.MixAtMin < first.MixAtMin ||
				rolled.MixAtMin > first.MixAtMin+60 {
				t.Errorf("%s: cut in on day %d at %.0f, the field begins on day %d at %.0f", name, first.Day, first.MixAtMin, rolled.Day,
					rolled.MixAtMin)
			}
		}
	}
}

// A mix is weighed and stirred before it is mixed: no gang's mixes are planned closer together than
// that takes, and a field's no closer than its pails, one to every two or three men, allow. Every
// man cuts in from his own. Common practice, no source.
func TestNoGangMixesFasterThanItStirs(t *testing.T) {
	names := []string{"r01-garage.yaml", "r04-l-shape.yaml", "r11-three-levels.yaml"}
	if !testing.Short() {
		names = append(names, "r10-terrace.yaml", "r12-hall.yaml")
	}
	for _, name := range names {
		p := planned(t, name)
		for _, x := range p.Passes {
			least, gangs := 2.5, map[string]bool{}
			if !x.Pieces() {
				least /= math.Max(1, math.Floor(float64(p.Job.Crew.People+1)/3))
			}
			before := map[string]mixing.Mix{}
			for _, m := range mixesOf(&x) {
				gangs[m.Gang] = true
				if b, ok := before[m.Gang]; ok && b.Day == m.Day && m.MixAtMin-b.MixAtMin < least-1e-6 {
					t.Errorf("%s: bucket %d of %s is mixed %.1f min after bucket %d of its gang", name, m.Number, x.Key(), m.MixAtMin-b.MixAtMin, b.Number)
				}
				before[m.Gang] = m
			}
			if x.Kind != laying.CuttingIn {
				continue
			}
			if len(gangs) != min(p.Job.Crew.People, len(mixesOf(&x))) && len(gangs) != p.Job.Crew.People {
				t.Errorf("%s: %d people cut in from %d pots", name, p.Job.Crew.People, len(gangs))
			}
			if n := float64(len(mixesOf(&x))); x.ReadyMin < 2.5*n/float64(p.Job.Crew.People)-2*2.5 || x.ReadyMin > 2.5*n {
				t.Errorf("%s: %.1f min to weigh and stir %g mixes", name, x.ReadyMin, n)
			}
		}
	}
}

func passOn(t *testing.T, p *plan.Plan, deck, kind string) laying.Pass {
	t.Helper()
	for _, x := range passes(p, kind) {
		if x.Deck == deck {
			return x
		}
	}
	t.Fatalf("no %s on deck %s", kind, deck)
	return laying.Pass{}
}

// Before the first mix of a day has shown its pace none is larger than two litres, and for a crew
// that is new none at all. Common practice, no source.
func TestTheFirstMixOfTheDayIsSmall(t *testing.T) {
	job := example(t, "r04-l-shape.yaml")
	for _, skill := range []string{"seasoned", "apprentice"} {
		job.Crew.Experience, job.Crew.MaxBucketKG = skill, 20
		p := planOf(t, job)
		first, large := map[[2]any]bool{}, false
		for _, x := range p.Passes {
			for _, m := range mixesOf(&x) {
				is := [2]any{x.Coat(), m.Day}
				if (!first[is] || skill == "apprentice") && m.ResinL > 2+1e-9 {
					t.Errorf("%s: bucket %d of %s, day %d, is %.2f l", skill, m.Number, x.Kind, m.Day, m.ResinL)
				}
				first[is] = true
				large = large || m.ResinL > 2.5
			}
		}
		if large != (skill == "seasoned") {
			t.Errorf("%s: larger mixes later in the day: %v", skill, large)
		}
	}
}

func mixesOf(x *laying.Pass) []mixing.Mix {
	if x.Plan == nil {
		return nil
	}
	return x.Plan.Mixes
}

// The method tells the coat as the trade lays it, in its order. Common practice, no source.
func TestTheMethodTellsTheCoatInItsOrder(t *testing.T) {
	p := planned(t, "r04-l-shape.yaml")
	at := 0
	for _, want := range []string{"A clean, cool bucket for every mix", "to the bottom and into the corners", "when it thickens, stop",
		"about an hour after laying on a mild day; for this plan a foot", "A light pass over the whole of it, trims and bandages included, 40 to 60 grit",
		"one more layer of mat", "surface tissue", "it takes a coat for", "Mask under the drips", "Cut in deck",
		"over the cut-in edges too", "before its wax closes",
		"Pull the tape while the coat still gives: about half an hour after; for this plan", "Throw water on the hard coat", "falls to satin",
		"Chase and wedge flashings"} {
		found := false
		for i := at; i < len(p.Method) && !found; i++ {
			if found = strings.Contains(p.Method[i].Act, want); found {
				at = i
			}
		}
		if !found {
			t.Errorf("%q is not said, or not in its place", want)
		}
	}
	for _, s := range p.Method {
		if strings.Contains(s.Act, "one more layer of mat") && !strings.Contains(s.Act, "kg of resin and") {
			t.Errorf("the choice has no cost: %s", s.Act)
		}
	}
}

// A laminate takes a foot and the sander about an hour after laying on a mild day, and a coat
// gives for about half an hour: both within the range of the cure model. Common practice, no
// source.
func TestFootSanderAndTapeOnAMildDay(t *testing.T) {
	mild := 20.0
	job := named(example(t, "r01-garage.yaml"))
	p, err := plan.Make(t.Context(), plan.Input{Cache: shared, Job: job, Catalogue: material.Generic(), TempC: &mild})
	if err != nil {
		t.Fatal(err)
	}
	mat, coat := passOf(t, p, "mat"), passOf(t, p, "top coat")
	// Laid ten minutes after mixing, an hour later it is seventy.
	if walk := mat.At(cure.Walk); walk.LowMin > 70 || walk.HighMin < 60 {
		t.Errorf("a foot after %.0f to %.0f min", walk.LowMin, walk.HighMin)
	}
	if sand := mat.At(cure.Sand); sand.LowMin > 80 || sand.HighMin < 70 {
		t.Errorf("the sander after %.0f to %.0f min", sand.LowMin, sand.HighMin)
	}
	if gel, trim := coat.At(cure.AtGel), coat.At(cure.Trim); gel.LowMin > 30 || trim.HighMin < 30 {
		t.Errorf("the coat gives from %.0f to %.0f min", gel.LowMin, trim.LowMin)
	}
}

// The edges of a coat are cut in in turns with its field: every place on a piece that is cut in is covered once, before
// the strip beside it is rolled, on the same day and within the hour in which its wax may close; where it is not, the notes
// name its bucket. None of the examples has an edge to abrade but for that. Common practice, no source.
func TestEdgesAndFieldInTurns(t *testing.T) {
	inTurns := 0
	for _, name := range examples(t) {
		p := planned(t, name)
		edges, fields := passes(p, laying.CuttingIn), passes(p, "top coat")
		if len(edges) != len(fields) {
			t.Errorf("%s: %d coats are cut in, %d rolled", name, len(edges), len(fields))
			continue
		}
		for i, e := range edges {
			field := fields[i].Plan
			pieces := map[string]settingout.Piece{}
			for _, d := range p.Decks {
				for _, x := range d.SetOut.Pieces {
					if d.Name == e.Deck {
						pieces[x.Number] = x
					}
				}
			}
			if last := e.Plan.Mixes[len(e.Plan.Mixes)-1]; last.MixAtMin > field.Mixes[0].MixAtMin {
				inTurns++
				if !strings.Contains(strings.Join(field.Notes, " "), "in turns") || !strings.Contains(strings.Join(e.Plan.Notes, " "), "in turns") {
					t.Errorf("%s: edges and field of %s go in turns and no note says which", name, e.Deck)
				}
			}
			whole := map[string]bool{}
			for _, m := range e.Plan.Mixes {
				oldest := 0.0
				for _, part := range m.Parts {
					if part.Whole && whole[part.Name] {
						t.Errorf("%s: %s is cut in twice", name, part.Name)
					}
					whole[part.Name] = part.Whole
					// A joint's upright is shown turned over, across the joint, on the strips of the other side.
					if piece := pieces[part.Name]; !part.Whole || piece.MovementJoint() {
						continue
					}
					// The buckets that touch the piece are those that go over it.
					for _, f := range field.Mixes {
						for _, strip := range f.Parts {
							if strip.Shape.Touching(pieces[part.Name].Shape, 0.02).LengthM > 0.3 {
								age := float64(f.Day-m.Day)*24*60 + f.MixAtMin + f.LayingMin - m.MixAtMin
								if oldest = max(oldest, age); f.Day == m.Day && f.MixAtMin < m.MixAtMin {
									t.Errorf("%s: bucket %d is rolled beside %s before bucket %d cuts that in", name, f.Number, part.Name, m.Number)
								}
							}
						}
					}
				}
				if m.OverMin > 60 || oldest > 60+2 {
					t.Errorf("%s: the field is over the edges of bucket %d after %.0f min (%.0f by the shapes)", name, m.Number, m.OverMin, oldest)
				}
			}
			if notes := strings.Join(field.Notes, "; "); strings.Contains(notes, "abrade the edges") {
				t.Errorf("%s: %s", name, notes)
			}
		}
	}
	if inTurns < 3 {
		t.Errorf("%d examples have a field that takes more than an hour", inTurns)
	}
}

// A coat over a coat whose wax has surfaced is abraded first, said of the edges that are cut in over it: the hardening of the first
// says until when it takes one. Nobody abrades it before it has stood a night.
func TestASecondCoatGoesOverAbradedWax(t *testing.T) {
	p := planned(t, "r06-balcony.yaml")
	coats := passes(p, "top coat")
	if len(coats) != 2 {
		t.Fatalf("%d coats", len(coats))
	}
	first, second := coats[0].Plan.Mixes, coats[1].Plan.Mixes
	if last := first[len(first)-1]; second[0].Day == last.Day {
		t.Errorf("coat 2 on day %d at %.0f, the day of coat 1 at %.0f", second[0].Day, second[0].MixAtMin, last.MixAtMin)
	}
	edges := p.Schedule.Pass(coats[1].Deck + ".cutin2")
	if edges == nil || !strings.HasPrefix(edges.Parts[0].First, "abrade top coat 1 all over with 40 grit and wipe") {
		t.Fatalf("nothing is abraded before coat 2: %+v", edges)
	}
	// The method says the same, and the coats and the aggregate in their order.
	text := ""
	for _, s := range p.Method {
		text += s.Act + "\n"
	}
	at := -1
	for _, want := range []string{"into coat 1 while it is wet", "Coat 2 seals it", "Cut in and roll coat 2 like coat 1",
		"In this plan: " + edges.Parts[0].First} {
		k := strings.Index(text, want)
		if k <= at {
			t.Errorf("%q stands at %d, after %d", want, k, at)
		}
		at = k
	}
}
