package record

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"
)

// State is what the events come to. The same set gives the same state everywhere.
type State struct {
	Job     string   `json:"job"`
	Events  int      `json:"events"`
	Buckets []Bucket `json:"buckets"`
	// KG of resin that were mixed, and of these spilt or thrown away; CatalystML that went in.
	MixedKG    float64 `json:"mixed_kg"`
	LostKG     float64 `json:"lost_kg"`
	CatalystML float64 `json:"catalyst_ml"`
	Readings   []Said  `json:"readings,omitempty"`
	Holds      []Said  `json:"holds,omitempty"`
	Notes      []Said  `json:"notes,omitempty"`
	// Doubts are what a person has to look at: two mixes under one number, a bucket laid that nobody mixed, a clock that is wrong.
	Doubts []string `json:"doubts,omitempty"`
	Heads  []Head   `json:"heads"`
}

// Bucket is one bucket of the plan, as it was mixed.
type Bucket struct {
	Number     int      `json:"number"`
	Mixes      []Said   `json:"mixes"`
	KG         float64  `json:"kg"`
	CatalystML float64  `json:"catalyst_ml"`
	LostKG     float64  `json:"lost_kg,omitempty"`
	ResinC     *float64 `json:"resin_c,omitempty"`
	DeckC      *float64 `json:"deck_c,omitempty"`
	Batch      string   `json:"batch,omitempty"`
	// Laid, Gelled and Hard are by the clock of the device that was told first; empty where nobody said so.
	Laid   string `json:"laid,omitempty"`
	Gelled string `json:"gelled,omitempty"`
	Hard   string `json:"hard,omitempty"`
	// GelMin is how long it took from mixing to the gel of what was left, where one device saw both: two clocks are not subtracted.
	GelMin *float64 `json:"gel_min,omitempty"`
	// GelKG of resin were left in the bucket when it gelled, where somebody said so: a mass heats itself, and a law is learned with it.
	GelKG float64 `json:"gel_kg,omitempty"`
}

// Said is an event in a state: what it says now, and by which correction.
type Said struct {
	Event string `json:"event"`
	At    string `json:"at"`
	Who   string `json:"who"`
	Facts Facts  `json:"facts"`
	// By is the correction whose facts these are, Others the corrections that it stands over; First are those that were said at first.
	By     string   `json:"by,omitempty"`
	Others []string `json:"others,omitempty"`
	First  *Facts   `json:"first,omitempty"`
}

// slowMin is by how many minutes a device's clock must be off before a person is told (a choice: shorter than any gel is judged by).
const slowMin = 5

// Replay folds the events in their order.
func (s *Set) Replay() *State {
	events := s.Events()
	f := fold{state: &State{Job: s.job, Events: len(events), Heads: s.Heads(), Buckets: []Bucket{}}, back: map[string]bool{},
		corrected: map[string][]*Event{}, buckets: map[int]*Bucket{}, devices: map[int]string{}}
	for _, e := range events {
		if err := s.about(e); err != nil {
			f.state.Doubts = append(f.state.Doubts, fmt.Sprintf("%s has no effect: %v", e.ID(), err))
			continue
		}
		switch e.What {
		case TakenBack:
			f.back[e.Facts.Of] = true
		case Corrected:
			f.corrected[e.Facts.Of] = append(f.corrected[e.Facts.Of], e)
		}
	}
	for _, e := range events {
		if !f.back[e.ID().String()] {
			f.take(e)
		}
	}
	for _, b := range f.buckets {
		f.state.Buckets = append(f.state.Buckets, *b)
	}
	slices.SortFunc(f.state.Buckets, func(a, b Bucket) int { return cmp.Compare(a.Number, b.Number) })
	f.state.Doubts = slices.Concat(f.state.Doubts, bucketDoubts(f.state.Buckets), clockDoubts(s, events))
	return f.state
}

// fold is a state under way.
type fold struct {
	state     *State
	back      map[string]bool
	corrected map[string][]*Event
	buckets   map[int]*Bucket
	// devices are those that mixed each bucket.
	devices map[int]string
}

// said is what an event says now.
func (f *fold) said(e *Event) Said {
	out := Said{Event: e.ID().String(), At: e.At, Who: e.Who, Facts: e.Facts}
	if all := f.corrected[out.Event]; len(all) > 0 {
		c, first := all[len(all)-1], e.Facts // the last in their order holds
		out.Facts, out.By, out.First = c.Facts, c.ID().String(), &first
		out.Facts.Of = ""
		for _, x := range all[:len(all)-1] {
			out.Others = append(out.Others, x.ID().String())
			if x.Device != c.Device && !reflect.DeepEqual(x.Facts, c.Facts) {
				f.state.Doubts = append(f.state.Doubts, fmt.Sprintf("%s was corrected by %s and by %s: the second holds; correct it once more "+
					"where the first was right", out.Event, x.ID(), c.ID()))
			}
		}
	}
	return out
}

func (f *fold) bucket(n int) *Bucket {
	if f.buckets[n] == nil {
		f.buckets[n] = &Bucket{Number: n, Mixes: []Said{}}
	}
	return f.buckets[n]
}

// take puts one event into the state.
func (f *fold) take(e *Event) {
	said, s := f.said(e), f.state
	switch e.What {
	case Mixed:
		f.mixed(e, said)
	case Laid:
		set(&f.bucket(said.Facts.Bucket).Laid, e.At)
	case Gelled:
		f.gelled(e, f.bucket(said.Facts.Bucket), said.Facts.KG)
	case Hard:
		set(&f.bucket(said.Facts.Bucket).Hard, e.At)
	case Spilt, ThrownAway:
		s.LostKG += said.Facts.KG
		if n := said.Facts.Bucket; n > 0 {
			f.bucket(n).LostKG += said.Facts.KG
		}
	case Reading:
		s.Readings = append(s.Readings, said)
	case Hold:
		s.Holds = append(s.Holds, said)
	case Note:
		s.Notes = append(s.Notes, said)
	}
}

func (f *fold) mixed(e *Event, said Said) {
	x := &said.Facts
	b := f.bucket(x.Bucket)
	b.Mixes = append(b.Mixes, said)
	b.KG += x.KG
	b.CatalystML += x.CatalystML
	if len(b.Mixes) == 1 {
		b.ResinC, b.DeckC, b.Batch = x.ResinC, x.DeckC, x.Batch
		f.devices[b.Number] = e.Device
	}
	f.state.MixedKG += x.KG
	f.state.CatalystML += x.CatalystML
}

func (f *fold) gelled(e *Event, b *Bucket, leftKG float64) {
	if b.Gelled == "" && len(b.Mixes) == 1 && f.devices[b.Number] == e.Device {
		if min := between(b.Mixes[0].At, e.At); min > 0 {
			b.GelMin, b.GelKG = &min, leftKG
		}
	}
	set(&b.Gelled, e.At)
}

func set(at *string, value string) {
	if *at == "" {
		*at = value
	}
}

// between are the minutes from one time to another of the same clock; 0 where a time cannot be read.
func between(from, to string) float64 {
	a, err := time.Parse(time.RFC3339, from)
	b, err2 := time.Parse(time.RFC3339, to)
	if err != nil || err2 != nil {
		return 0
	}
	return b.Sub(a).Minutes()
}

// Doses outside these ml to a kilogram are looked at: data sheets allow 1 to 3 % by mass, 9 to 27 ml/kg, and top coat some more
// (common practice, no source). Beyond it lies a slip of the pen, or a bucket that never hardens, or one that is a fire.
const leastMLPerKG, mostMLPerKG = 8, 35

// bucketDoubts are what cannot be as it was told.
func bucketDoubts(buckets []Bucket) []string {
	var out []string
	for _, b := range buckets {
		if len(b.Mixes) > 1 {
			ids := make([]string, 0, len(b.Mixes))
			for _, m := range b.Mixes {
				ids = append(ids, m.Event)
			}
			out = append(out, fmt.Sprintf("bucket %d was mixed %d times (%s): take one back, or give it the number that it had", b.Number,
				len(b.Mixes), strings.Join(ids, ", ")))
		}
		for _, m := range b.Mixes {
			if ml := m.Facts.CatalystML / m.Facts.KG; ml < leastMLPerKG || ml > mostMLPerKG {
				out = append(out, fmt.Sprintf("bucket %d had %.1f ml of catalyst to the kilogram (%s): a slip of the pen, or a dose to act on at once",
					b.Number, ml, m.Event))
			}
		}
		if len(b.Mixes) == 0 {
			out = append(out, fmt.Sprintf("bucket %d was never mixed, and yet something was told of it", b.Number))
		}
		if b.LostKG > b.KG+1e-9 && len(b.Mixes) > 0 {
			out = append(out, fmt.Sprintf("bucket %d lost %.2f kg and had %.2f", b.Number, b.LostKG, b.KG))
		}
	}
	return out
}

// clockDoubts hold a device's clock against the servers that received its events. An event cannot be received before it was made: a
// device whose time lies behind that is ahead by at least as much. Late arrival says nothing, for a phone may have had no signal.
func clockDoubts(s *Set, events []*Event) []string {
	ahead := map[string]float64{}
	for _, e := range events {
		if e.What != Received {
			continue
		}
		if of := s.byName(e.Facts.Of); of != nil {
			ahead[of.Device] = max(ahead[of.Device], between(e.At, of.At))
		}
	}
	var out []string
	for device, min := range ahead {
		if min >= slowMin {
			out = append(out, fmt.Sprintf("the clock of %s is at least %.0f min ahead of the server's that received its events", device, min))
		}
	}
	slices.Sort(out)
	return out
}

// Against is what was mixed beside what was planned.
type Against struct {
	Bucket    int     `json:"bucket"`
	PlannedKG float64 `json:"planned_kg"`
	KG        float64 `json:"kg"`
	// OffPct is by how much more or less resin was mixed.
	OffPct float64 `json:"off_pct"`
	// Look says that it is more off than a crew may leave unlooked at.
	Look bool `json:"look,omitempty"`
}

// mostOffPct of a bucket's resin more or less than planned is looked at (common practice, no source).
const mostOffPct = 10

// Against holds the buckets against those of a plan: kilograms by number. Left are the planned ones that nobody has mixed.
func (s *State) Against(plannedKG map[int]float64) (mixed []Against, left []int) {
	seen := map[int]bool{}
	for _, b := range s.Buckets {
		if len(b.Mixes) == 0 {
			continue
		}
		seen[b.Number] = true
		a := Against{Bucket: b.Number, PlannedKG: plannedKG[b.Number], KG: b.KG}
		if a.PlannedKG > 0 {
			a.OffPct = 100 * (a.KG/a.PlannedKG - 1)
		}
		a.Look = a.PlannedKG == 0 || a.OffPct > mostOffPct || a.OffPct < -mostOffPct
		mixed = append(mixed, a)
	}
	for n := range plannedKG {
		if !seen[n] {
			left = append(left, n)
		}
	}
	slices.Sort(left)
	return mixed, left
}

// Gel is a gel that a resin's law can be learned from, as a gel log has it.
type Gel struct {
	Drum       string
	TempC      float64
	CatalystML float64
	MixKG      float64
	GelMin     float64
}

// Gels are those of the buckets of which enough was said, and why the others teach nothing. The dose is that of the whole mix, the mass
// what was left in the bucket.
func (s *State) Gels() (gels []Gel, others []string) {
	for _, b := range s.Buckets {
		switch {
		case b.Gelled == "":
		case b.GelMin == nil:
			others = append(others, fmt.Sprintf("bucket %d: mixing and gel were not both told to one device", b.Number))
		case b.ResinC == nil:
			others = append(others, fmt.Sprintf("bucket %d: nobody measured the resin in its pail", b.Number))
		case b.GelKG == 0:
			others = append(others, fmt.Sprintf("bucket %d: how much was left when it gelled was not said", b.Number))
		default:
			gels = append(gels, Gel{b.Batch, *b.ResinC, b.CatalystML * b.GelKG / b.KG, b.GelKG, *b.GelMin})
		}
	}
	return gels, others
}
