package settingout

import (
	"fmt"
	"slices"
	"strings"
)

// mattings sums one layer over the fields of a deck.
type mattings struct {
	all  matting
	each []matting
	// tried are the candidates: of one field its own, of several the ways to lay them all.
	tried []Candidate
}

func (s *mattings) add(m matting, tried []Candidate) {
	s.each, s.tried = append(s.each, m), tried
	s.all.pieces = append(s.all.pieces, m.pieces...)
	s.all.lapM += m.lapM
	s.all.usedM2 += m.usedM2
	s.all.slender += m.slender
	s.all.atOutlet += m.atOutlet
	s.all.trapped += m.trapped
	for i := range s.all.pieces {
		s.all.pieces[i].Order = i + 1
	}
}

// name says which way the strips run: of one field as it is, of several by their number.
func (s *mattings) name() string {
	if len(s.each) == 1 {
		return s.each[0].name
	}
	count := map[string]int{}
	for _, m := range s.each {
		count[m.dir]++
	}
	var words []string
	for _, dir := range []string{"across fall", "along fall"} {
		if n := count[dir]; n > 0 {
			words = append(words, fmt.Sprintf("%s in %s", dir, counted(n, "field")))
		}
	}
	name := "strips " + strings.Join(words, ", ")
	for _, m := range s.each {
		if m.offsetM != s.each[0].offsetM {
			return name + ", each from its own first line"
		}
	}
	return fmt.Sprintf("%s, first line %.3f m in", name, s.each[0].offsetM)
}

// bestOf takes the best way to lay all fields, judged over all of them: what is left
// beside a narrow strip of one field is cut for another.
func bestOf(ways ...mattings) mattings {
	best := 0
	for i := range ways {
		if ways[i].all.better(ways[best].all) {
			best = i
		}
	}
	chosen := ways[best]
	candidate := func(s mattings) Candidate {
		return Candidate{Name: s.name(), Direction: s.each[0].dir, Items: len(s.all.pieces), JointM: round3(s.all.lapM),
			WasteM2: round3(s.all.boughtM2 - s.all.usedM2)}
	}
	first := candidate(chosen)
	first.Chosen = true
	chosen.tried = []Candidate{first}
	for _, w := range ways {
		c := candidate(w)
		if slices.ContainsFunc(chosen.tried, func(t Candidate) bool { return t.Name == c.Name }) {
			continue
		}
		c.Why = fmt.Sprintf("%+.1f m² off the roll, %+.1f m of lap, %+d strips, %+d of them slender", c.WasteM2-first.WasteM2,
			c.JointM-first.JointM, c.Items-first.Items, w.all.slender-chosen.all.slender)
		if w.all.trapped > 0 {
			c.Why += "; laps by the exit would have to be tucked under"
		}
		chosen.tried = append(chosen.tried, c)
	}
	return chosen
}
