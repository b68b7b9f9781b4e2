package settingout

import (
	"context"
	"fmt"
	"math"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
)

// setBoards weighs directions, starting corners, row offsets and joint phases.
func setBoards(ctx context.Context, d roof.Deck, spec roof.Spec, net plane.Region, z sizes) (boarding, []Candidate, error) {
	r, err := rulesFor(spec.Board, z.kerf)
	if err != nil {
		return boarding{}, nil, err
	}
	lines := foldLines(d)
	bays := baysOf(net, lines, r.gap)
	if len(bays) == 0 {
		return boarding{}, nil, fmt.Errorf("deck %q: nothing is left to board after the openings are taken out", d.Name)
	}
	axes, conform := boardAxes(d, spec)
	most, styles := 6, 6
	if area := net.Area(); area > 1500 {
		most, styles = 2, 3
	} else if area > 300 {
		most, styles = 3, 4
	}
	swaps := []bool{false}
	if len(bays) > 1 && most == 6 {
		swaps = []bool{false, true}
	}
	var all []boarding
	for _, axis := range axes {
		for _, f := range framesFor(axis, spec.SetOut.BoardStart) {
			local := make([]bay, len(bays))
			for i, b := range bays {
				local[i] = bay{f.RegionIn(b.region)}
			}
			g := bearings(d, f, r.gap)
			offsets := offsetsFor(local, r.pitch, most)
			if o := spec.SetOut.BoardOffsetM; o != nil {
				offsets = []float64{math.Mod(math.Mod(*o, r.pitch)+r.pitch, r.pitch)}
			}
			for _, offset := range offsets {
				for _, swap := range swaps {
					b := boarding{f: f, g: g, bays: local, spec: spec.Board, offsetM: offset, conform: conform, dir: axisName(axis)}
					b.rows = rowsOf(local, lattices(local, lines, f, r.pitch, offset, swap), r)
					b.folds = foldsOf(lines, f, local, b.rows)
					b.courses = newCourses(b.rows, b.folds, local, g, r, spec.Board)
					if err := b.bestStyle(ctx, styles); err != nil {
						return boarding{}, nil, err
					}
					b.name = fmt.Sprintf("boards along %s from the %s corner, first row %.3f m", b.dir, cornerName(startOf(f)), firstRow(b))
					all = append(all, b)
				}
			}
		}
	}
	return chooseBoarding(ctx, all, r, net.Area(), z.handOf(boardName(spec.Board)))
}

// sortBoardings puts the most promising first.
func sortBoardings(all []boarding) {
	sort.SliceStable(all, func(i, j int) bool { return all[i].better(&all[j].score) })
}

// finalists is how many boardings the exact cutter judges.
const finalists = 4

// chooseBoarding cuts the most promising boardings exactly and takes the best.
func chooseBoarding(ctx context.Context, all []boarding, r boardRules, areaM2 float64, hand []InHand) (boarding, []Candidate, error) {
	sortBoardings(all)
	// Equals of the last finalist are finalists too, whichever corner they start from.
	n := min(len(all), finalists)
	for n < len(all) && n < 4*finalists && !all[n-1].better(&all[n].score) {
		n++
	}
	for i := 0; i < n; i++ {
		all[i].improve(ctx, r, areaM2)
	}
	sortBoardings(all)
	full, wide := upMM(r.length), upMM(r.width)
	least := int(math.Ceil(areaM2/(r.length*r.width) - 1e-9))
	best := -1
	for i := range all {
		if i >= n || (best >= 0 && all[best].count <= least && len(hand) == 0 && all[best].broken.total() == 0) {
			break
		}
		all[i].settle(r)
		all[i].cut = cutBoards(ctx, all[i].blanks, full, wide, r.kerf, hand)
		all[i].count, all[i].hand = all[i].cut.boards, hand
		if best < 0 || all[i].better(&all[best].score) {
			best = i
		}
	}
	tried := make([]Candidate, 0, len(all))
	for _, b := range all {
		tried = append(tried, Candidate{Name: b.name, Direction: b.dir, OffsetM: round3(b.offsetM), Items: b.count, Cuts: b.cuts,
			JointM:  round3(b.jointM),
			WasteM2: round3(float64(b.count)*r.length*r.width - areaM2)})
	}
	return all[best], shortlist(tried, all[best].name), ctx.Err()
}

func firstRow(b boarding) float64 {
	if len(b.rows) == 0 || len(b.rows[0].runs) == 0 {
		return 0
	}
	u := b.rows[0].runs[0]
	return u.high - u.low
}

// bestStyle tries pairs of joint phases, one for even and one for odd rows.
func (b *boarding) bestStyle(ctx context.Context, styles int) error {
	var w way
	var rival *score
	try := func(style ...int) {
		b.courses.lay(style, &w)
		if s, ok := b.courses.weigh(&w, rival, (*score).better); ok && (rival == nil || s.better(rival)) {
			b.score, b.style, rival = s, style, &b.score
			b.way, w = w, b.way
		}
	}
	for p := 0; p < styles; p++ {
		for q := 0; q < styles; q++ {
			if err := ctx.Err(); err != nil {
				return err
			}
			try(p, q)
		}
	}
	for p := 0; p+2 < styles; p++ {
		try(p, p+1, p+2)
		try(p+2, p+1, p)
	}
	return nil
}

// workAllowed bounds the sheets handled while one boarding is improved.
const workAllowed = 25000

// improve changes the style of one row after another and keeps what is better,
// until nothing is or the allowance of work is used up.
func (b *boarding) improve(ctx context.Context, r boardRules, areaM2 float64) {
	least := int(math.Ceil(areaM2/(r.length*r.width) - 1e-9))
	n := len(b.rows)
	style := make([]int, n)
	for i := range style {
		style[i] = b.style[i%len(b.style)]
	}
	b.style = style
	var w way
	work := 0
	for changed := true; changed; {
		changed = false
		for i := 0; i < n; i++ {
			for s := 0; s < phases*shorts; s++ {
				if work > workAllowed || ctx.Err() != nil || (b.count <= least && b.broken.total() == 0) {
					return
				}
				if s == style[i] {
					continue
				}
				if !b.courses.relay(&b.way, style, i, s, &w) && w.broken.laying() >= b.broken.laying() {
					work++
					continue
				}
				work += b.courses.sheets(&w) + 10
				if c, ok := b.courses.weigh(&w, &b.score, (*score).nearer); ok && c.nearer(&b.score) {
					b.score, style[i], changed = c, s, true
					b.way, w = w, b.way
				}
			}
		}
	}
}

// nearer orders boardings as better does, but lets waste that lies together count
// before cuts.
func (b *score) nearer(o *score) bool {
	if b.broken.total() == o.broken.total() && b.count == o.count && math.Abs(b.spare-o.spare) > 1 {
		return b.spare > o.spare
	}
	return b.better(o)
}
