package laying

import (
	"gelwright/check"
	"gelwright/mixing"
)

// Pass is one round of wet work over a deck.
type Pass struct {
	Deck string `json:"deck"`
	// Kind: "details", "mat", "cutting in", "top coat"; Layer of mat or number of the coat.
	Kind  string       `json:"kind"`
	Layer int          `json:"layer,omitempty"`
	Plan  *mixing.Plan `json:"plan,omitempty"`
	// Begins says why it begins when it does: its buckets' days are counted through the wet
	// work of the job, all passes by one crew, every day taken to be like the one given.
	Begins string `json:"begins,omitempty"`
	// Refusal says why no bucket can be mixed at this temperature.
	Refusal  string         `json:"refusal,omitempty"`
	Remedies []check.Remedy `json:"remedies,omitempty"`
	AreaM2   float64        `json:"area_m2"`
	// ManMin is the work on bandage and details, min of one man.
	ManMin float64 `json:"man_min,omitempty"`
	// ReadyMin is how long the mixes of cutting in take to weigh and stir at least, min.
	ReadyMin float64 `json:"ready_min,omitempty"`
	// Turns is in how many turns with its field cutting in is reckoned; 0 for other passes.
	Turns int `json:"turns,omitempty"`
	// FromC and UpToC bound the temperatures at which its buckets can be mixed, °C; both 0 where
	// there are none.
	FromC float64 `json:"from_c"`
	UpToC float64 `json:"up_to_c"`
	// Decks bound the deck's temperature; nil where the pass has no bucket.
	Decks *DeckLimits `json:"decks,omitempty"`
	KG    float64     `json:"kg"`
	Resin string      `json:"resin"`
	// Cells are what is laid in one go, in the order of their numbers in the buckets.
	Cells []mixing.Cell `json:"cells,omitempty"`
}

// DaysOf is on how many days wet work is done, by the buckets; 1 where there are none.
func DaysOf(passes []Pass) int {
	days := map[int]bool{}
	for _, x := range passes {
		if x.Plan == nil {
			continue
		}
		for _, m := range x.Plan.Mixes {
			days[m.Day] = true
		}
	}
	return max(1, len(days))
}

// Coat reports whether a pass is of top coat: its edges cut in, or its field.
func (x *Pass) Coat() bool { return x.Kind == "top coat" || x.Kind == CuttingIn }

// Pieces reports whether a pass is of pieces one by one, not of fields laid strip by strip.
func (x *Pass) Pieces() bool { return x.Kind == "details" || x.Kind == CuttingIn }

// CuttingIn is the kind of the pass in which the edges of a coat are cut in.
const CuttingIn = "cutting in"

// coat is 1 for a pass of top coat, 0 for one of laminating resin.
func (x *Pass) coat() int {
	if x.Coat() {
		return 1
	}
	return 0
}
