package programme

import "time"

// Slot is one stage in its place.
type Slot struct {
	Stage int       `json:"stage"` // index in the input
	Key   string    `json:"key"`
	Name  string    `json:"name"`
	Kind  Kind      `json:"kind"`
	Deck  string    `json:"deck,omitempty"`
	Start time.Time `json:"start"`
	// End of the work in the course of the weather by which it is told: the likely one where the
	// plan holds in it. Work that may be interrupted ends at another time in others.
	End time.Time `json:"end"`
	// Earliest and Latest start on that day that leave the rest of the plan as it is.
	Earliest time.Time `json:"earliest"`
	Latest   time.Time `json:"latest"`
	// P is the probability that it holds at that time: limits kept throughout, film
	// safe after, and the stage before ready. Again tells that it begins later than
	// the join allows, with the work that costs.
	P     float64 `json:"p"`
	Again string  `json:"again,omitempty"`
	// First says what is abraded before it all the same, since it may be too old to bond.
	First string `json:"first,omitempty"`
	// Call is whether it may be begun then, with what belongs to it.
	Call Call `json:"call"`
	// SafeBy is when its film is safe from rain and dew, likely and late; zero for dry work. A search gives
	// the end of what its days keep dry; where buckets are made for them, the later of that and their own range.
	SafeBy     time.Time `json:"safe_by,omitzero"`
	SafeByLate time.Time `json:"safe_by_late,omitzero"`
	Hold       string    `json:"hold,omitempty"`
	// Over is when what lies over it may be begun; nil for work that nothing bonds to.
	Over *Over `json:"over,omitempty"`

	// course is the one by which it is told; late is the last end of all courses in which the
	// plan holds.
	course int
	late   time.Time
	// done is set for work that is behind.
	done bool
}

// Over is the window of a film for the stage that goes over it: begun From, at the latest of the courses in which the plan holds,
// and Until, at the earliest of all; later it is made good before, which takes AgainMin of the crew.
type Over struct {
	Stage    string    `json:"stage"`
	From     time.Time `json:"from"`
	Until    time.Time `json:"until"`
	AgainMin float64   `json:"again_min"`
}

// Plan is a programme with planned starts.
type Plan struct {
	Begin  time.Time `json:"begin"`
	Finish time.Time `json:"finish"`
	// P is the probability that every stage holds.
	P     float64 `json:"p"`
	Slots []Slot  `json:"slots"`
	// Weakest is the slot with the least probability.
	Weakest int `json:"weakest"`
	// Days on which somebody works.
	Days int `json:"days"`
	// Rehearsed is what a crew that sees the sky of the moment makes of it.
	Rehearsed Outcome `json:"rehearsed"`
	mask      uint64  // the members in which it holds, its boards apart
	holds     uint64  // those in which its boards are dry too, as P tells
}

// DayBest is the best beginning on one day.
type DayBest struct {
	Day time.Time `json:"day"` // local midnight
	// Plan is nil when no beginning that day holds in any member.
	Plan *Plan `json:"plan,omitempty"`
	// Why not, for a day without one.
	Why string `json:"why,omitempty"`
}

// Result is the answer to 'when can this roof be done'.
type Result struct {
	// Sure is done on the earliest day of all plans with P at least Target that hold in the forecast
	// itself, the first course, too; of that day it is the likeliest, and of equals the first to be
	// done. Likeliest has the highest P of all. Either is nil when there is none.
	Sure      *Plan   `json:"sure,omitempty"`
	Likeliest *Plan   `json:"likeliest,omitempty"`
	Target    float64 `json:"target"`
	// Frontier trades finish for probability: each finishes later than the one
	// before and is likelier.
	Frontier []Plan    `json:"frontier"`
	Days     []DayBest `json:"days"`
	// Proven: no plan with fixed starts is likelier than Likeliest or, sure, is done on
	// an earlier day than Sure. No plan holds in a greater share of the members than Bound: in so many some
	// plan holds, whatever its times, were boards that lie bare longer than they must dry.
	Proven bool    `json:"proven"`
	Bound  float64 `json:"bound"`
	// HalfBy and MostBy are when a crew that moves its days with the weather can be
	// finished at the earliest in half, and in nine in ten, of the members; zero for not
	// within the weather known. They assume that each day is chosen rightly, and count boards that lie bare longer than
	// they must as dry: nobody is finished sooner.
	HalfBy time.Time `json:"half_by,omitzero"`
	MostBy time.Time `json:"most_by,omitzero"`
	// Impossible names demands that contradict each other on any day.
	Impossible *Contradiction `json:"impossible,omitempty"`
	// Blocked says for a search without a plan which stage finds no time, and why.
	Blocked   string     `json:"blocked,omitempty"`
	Overrides []Override `json:"overrides,omitempty"`
	Members   int        `json:"members"`
	// search is kept for questions about other starts.
	search *search
}

// Best is the plan to follow: the sure one, or else the likeliest; nil when there is none.
func (r *Result) Best() *Plan {
	if r.Sure != nil {
		return r.Sure
	}
	return r.Likeliest
}
