package plan_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/roof"
)

var edgeField = regexp.MustCompile(`^decks\[(.+)\]\.edges\[(\d+)\]\.(height_mm|limit_mm)$`)
var sillField = regexp.MustCompile(`^decks\[(.+)\]\.edges\[(\d+)\]\.thresholds\[(\d+)\]\.upstand_mm$`)
var kerbField = regexp.MustCompile(`^(?:decks\[(.+)\]\.)?openings\[(.+)\]\.kerb_mm$`)

// set writes a remedy's value into its field of the job, as a person would into the
// file; it reports whether the field is one it knows.
func set(job *roof.Job, where string, m check.Remedy) error {
	deck := func(name string) *roof.Deck {
		for i := range job.Decks {
			if job.Decks[i].Name == name {
				return &job.Decks[i]
			}
		}
		return &job.Decks[0]
	}
	if m.Field == "work.kind" {
		job.Work.Kind = m.Value
		return nil
	}
	number := func() (float64, error) { return strconv.ParseFloat(m.Value, 64) }
	v, err := number()
	need := func(to *float64) error {
		if err != nil {
			return fmt.Errorf("%s: %q is no number", m.Field, m.Value)
		}
		*to = v
		return nil
	}
	of := deck(strings.TrimPrefix(strings.Split(where, ",")[0], "deck "))
	if a := edgeField.FindStringSubmatch(m.Field); a != nil {
		n, _ := strconv.Atoi(a[2])
		e := &deck(a[1]).Edges[n]
		if a[3] == "limit_mm" {
			return need(&e.LimitMM)
		}
		return need(&e.HeightMM)
	}
	if a := sillField.FindStringSubmatch(m.Field); a != nil {
		n, _ := strconv.Atoi(a[2])
		k, _ := strconv.Atoi(a[3])
		return need(&deck(a[1]).Edges[n].Thresholds[k].UpstandMM)
	}
	if a := kerbField.FindStringSubmatch(m.Field); a != nil {
		d := of
		for i := range d.Openings {
			if d.Openings[i].Name == a[2] || strconv.Itoa(i) == a[2] {
				return need(&d.Openings[i].KerbMM)
			}
		}
	}
	switch {
	case m.Field == "spec.insulation.thickness_mm":
		return need(&job.Spec.Insulation.ThicknessMM)
	case m.Field == "spec.board.thickness_mm":
		return need(&job.Spec.Board.ThicknessMM)
	case m.Field == "spec.top_coat.kg_per_m2":
		return need(&job.Spec.TopCoat.KGPerM2)
	case m.Field == "spec.top_coat.colour":
		job.Spec.TopCoat.Colour = m.Value
		return nil
	case m.Field == "spec.vapour_control_layer":
		job.Spec.VCL = m.Value == "true" || m.Value == "yes"
		return nil
	case m.Field == "spec.build_up":
		job.Spec.Build = m.Value
		return nil
	case strings.HasSuffix(m.Field, "fall.ratio"):
		for i := range of.Falls.Planes {
			if err := need(&of.Falls.Planes[i].Ratio); err != nil {
				return err
			}
		}
		return nil
	case strings.HasSuffix(m.Field, "base.joist_spacing_mm"):
		return need(&of.Base.JoistSpacingMM)
	case strings.HasSuffix(m.Field, "base.joist_span_m"):
		return need(&of.Base.JoistSpanM)
	case strings.HasSuffix(m.Field, "base.joist_depth_mm"):
		return need(&of.Base.JoistDepthMM)
	case strings.HasSuffix(m.Field, "movement_joints"):
		for _, text := range regexp.MustCompile(`\[\[([-\d.]+), ([-\d.]+)\], \[([-\d.]+), ([-\d.]+)\]\]`).FindAllStringSubmatch(m.Value, -1) {
			var c [4]float64
			for i := range c {
				c[i], _ = strconv.ParseFloat(text[i+1], 64)
			}
			of.MovementJoints = append(of.MovementJoints, [2]plane.Point{{X: c[0], Y: c[1]}, {X: c[2], Y: c[3]}})
		}
		if len(of.MovementJoints) == 0 {
			return fmt.Errorf("%s: %q is no list of joints", m.Field, m.Value)
		}
		return nil
	}
	return fmt.Errorf("the test cannot set %s = %q", m.Field, m.Value)
}

// clone copies what set may change.
func clone(job roof.Job) roof.Job {
	job.Decks = append([]roof.Deck(nil), job.Decks...)
	for i := range job.Decks {
		d := &job.Decks[i]
		d.Edges = append([]roof.Edge(nil), d.Edges...)
		for k := range d.Edges {
			d.Edges[k].Thresholds = append([]roof.Threshold(nil), d.Edges[k].Thresholds...)
		}
		d.Openings = append([]roof.Opening(nil), d.Openings...)
		d.Falls.Planes = append([]plane.FallPlane(nil), d.Falls.Planes...)
		d.MovementJoints = append([][2]plane.Point(nil), d.MovementJoints...)
	}
	if job.Spec.Insulation != nil {
		ins := *job.Spec.Insulation
		job.Spec.Insulation = &ins
	}
	return job
}

// after returns the verdict of the same check at the same place, worst first.
func after(p *plan.Plan, r check.Result) check.Verdict {
	got := check.NotApplicable
	for _, x := range p.Checks {
		if x.Key != r.Key || x.Where != r.Where {
			continue
		}
		if x.Verdict == check.Fail {
			return check.Fail
		}
		got = x.Verdict
	}
	return got
}

// cured applies the remedies of a failing check that name a field, each by itself, and
// reports those that do not cure it.
func cured(t *testing.T, name string, job roof.Job, r check.Result) int {
	t.Helper()
	tried := 0
	for _, m := range r.Remedies {
		if m.Field == "" {
			continue
		}
		tried++
		changed := clone(job)
		if err := set(&changed, r.Where, m); err != nil {
			t.Errorf("%s: %s: %v", name, r.Key, err)
			continue
		}
		p := planOf(t, changed)
		if v := after(p, r); v == check.Fail {
			t.Errorf("%s: %s at %q still fails after %s = %s (%s)", name, r.Key, r.Where, m.Field, m.Value, m.Text)
		}
	}
	return tried
}

func TestRemediesOfFailingChecksWork(t *testing.T) {
	tried := 0
	for _, name := range examples(t) {
		for _, r := range planned(t, name).Checks {
			if r.Verdict == check.Fail {
				tried += cured(t, name, example(t, name), r)
			}
		}
	}
	if tried < 8 {
		t.Errorf("only %d remedies were tried", tried)
	}
}

// TestRemediesWorkOnSpoiltRoofs spoils an example in one way at a time, so that checks
// fail which pass on the examples.
func TestRemediesWorkOnSpoiltRoofs(t *testing.T) {
	for _, c := range []struct {
		what, file, key string
		spoil           func(job *roof.Job)
	}{
		{"a fall of 1:150", "r01-garage.yaml", "drainage.fall", func(j *roof.Job) { j.Decks[0].Falls.Planes[0].Ratio = 150 }},
		{"thin boards on wide joists", "r01-garage.yaml", "deck.boards",
			func(j *roof.Job) { j.Spec.Board.ThicknessMM, j.Decks[0].Base.JoistSpacingMM = 15, 800 }},
		{"an upstand of 90 mm", "r04-l-shape.yaml", "detailing.upstand", func(j *roof.Job) { j.Decks[0].Edges[2].HeightMM = 90 }},
		{"a rooflight kerb of 60 mm", "r04-l-shape.yaml", "detailing.kerb", func(j *roof.Job) { j.Decks[0].Openings[0].KerbMM = 60 }},
		{"no vapour control layer under soft insulation", "r02-dormer.yaml", "moisture.condensation", func(j *roof.Job) {
			j.Spec.VCL, j.Spec.Insulation.Material = false, "mineral wool"
		}},
		{"a film that crazes", "r01-garage.yaml", "laminate.top_coat", func(j *roof.Job) { j.Spec.TopCoat.KGPerM2 = 1.4 }},
		{"slender joists", "r01-garage.yaml", "deck.joists", func(j *roof.Job) { j.Decks[0].Base.JoistDepthMM = 75; j.Defaults = nil }},
		{"one skin of 90 m² in dark grey", "r09-summer.yaml", "movement.joints", func(j *roof.Job) {
			for i := range j.Decks[0].Outline {
				j.Decks[0].Outline[i].X *= 2
			}
			j.Decks[0].Openings = nil
			j.Decks[0].Exit.X *= 2
		}},
	} {
		t.Run(c.what, func(t *testing.T) {
			job := clone(example(t, c.file))
			job.Decks[0].Outline = append(plane.Ring(nil), job.Decks[0].Outline...)
			c.spoil(&job)
			failed := false
			for _, r := range planOf(t, job).Checks {
				if r.Key == c.key && r.Verdict == check.Fail {
					failed = true
					if cured(t, c.file, job, r) == 0 && len(r.Remedies) == 0 {
						t.Errorf("%s fails and says no remedy: %s", c.key, r.Finding)
					}
				}
			}
			if !failed {
				t.Errorf("%s does not fail on it", c.key)
			}
		})
	}
}
