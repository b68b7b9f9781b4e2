package drawing

import (
	"fmt"
	"math"
	"strings"

	"gelwright/mixing"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/scene"
)

// layingOrder lists the strips of a layer as the buckets cover them, each where it is
// begun, and says which buckets cover each. It is empty where no bucket can be mixed.
func layingOrder(p *plan.Plan, deck string, layer int) (order []string, buckets map[string]string) {
	by := map[string][]string{}
	for i := range p.Passes {
		x := &p.Passes[i]
		if x.Deck != deck || x.Kind != "mat" || x.Layer != layer || x.Plan == nil {
			continue
		}
		for _, m := range x.Plan.Mixes {
			for _, part := range m.Parts {
				// A strip parted by those before it has cells "M4", "M4b".
				if strip := strings.TrimRight(part.Name, "abcdefghijklmnopqrstuvwxyz"); by[strip] == nil || by[strip][len(by[strip])-1] != fmt.Sprint(m.Number) {
					if by[strip] == nil {
						order = append(order, strip)
					}
					by[strip] = append(by[strip], fmt.Sprint(m.Number))
				}
			}
		}
	}
	buckets = map[string]string{}
	for strip, list := range by {
		word := "bucket "
		if len(list) > 1 {
			word = "buckets "
		}
		buckets[strip] = word + numberRuns(list)
	}
	return order, buckets
}

// with puts words behind a size, where there are any.
func with(size, words string) string {
	if words == "" {
		return size
	}
	return size + ", " + words
}

// inOrder returns where the labels of pieces stand, in the order of their numbers.
func inOrder(order []string, shapes []LabelledShape, where []scene.Point) []scene.Point {
	at := map[string]scene.Point{}
	for i, s := range shapes {
		at[s.ID] = where[i]
	}
	var out []scene.Point
	for _, n := range order {
		if p, ok := at[n]; ok {
			out = append(out, p)
		}
	}
	return out
}

// bucketsApart says which buckets cover ground in places that do not touch.
func bucketsApart(x *plan.Pass, w *part) string {
	var list []string
	for _, m := range x.Plan.Mixes {
		here := false
		for _, c := range m.Parts {
			here = here || w.holds(c.Shape)
		}
		if places := apart(m.Parts); here && places > 1 {
			list = append(list, fmt.Sprint(m.Number))
		}
	}
	const most = 9
	switch n := len(list); {
	case n == 0:
		return ""
	case n > most:
		return "where a bucket covers places that do not touch, each bears its number"
	case n == 1:
		return "bucket " + list[0] + " covers places that do not touch; each bears its number"
	}
	return "buckets " + numberRuns(list) + " cover places that do not touch; each bears its bucket's number"
}

// touchM is how near two parts of a bucket are laid as one place.
const touchM = 0.05

// apart counts the places that the parts of a bucket make up.
func apart(parts []mixing.Part) int {
	group := make([]int, len(parts))
	for i := range group {
		group[i] = i
	}
	n := 0
	for i := range parts {
		if len(parts[i].Shape) > 0 {
			n++
		}
		for k := range i {
			if group[i] == group[k] || !touching(parts[i].Shape, parts[k].Shape) {
				continue
			}
			n--
			from, to := group[i], group[k]
			for j := range group {
				if group[j] == from {
					group[j] = to
				}
			}
		}
	}
	return n
}

// touching reports whether some corner of one outline lies on the other.
func touching(a, b []plane.Point) bool {
	return nearest(a, b) < touchM || nearest(b, a) < touchM
}

// nearest is the least distance of a's corners from b's sides, m.
func nearest(a, b []plane.Point) float64 {
	d := math.Inf(1)
	for _, p := range a {
		for i, q := range b {
			d = min(d, distanceToLine(scene.Point(p), scene.Point(q), scene.Point(b[(i+1)%len(b)])))
		}
	}
	return d
}
