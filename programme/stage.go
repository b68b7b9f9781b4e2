package programme

import (
	"fmt"
	"time"

	"gelwright/weather"
)

// Quarter is the grain of a programme.
const Quarter = 15 * time.Minute

// Kind of work.
type Kind string

// The kinds, in their usual order.
const (
	Strip    Kind = "strip"
	Boards   Kind = "deck"
	Trims    Kind = "trims"
	Details  Kind = "bandage and details"
	Laminate Kind = "laminate"
	TopCoat  Kind = "top coat"
	Flash    Kind = "flashings"
	CleanUp  Kind = "clean-up"
)

// Wet reports whether resin goes down.
func (k Kind) Wet() bool { return k == Details || k == Laminate || k == TopCoat }

// Part is a length of work within a stage: a bucket, the sanding before a coat, the
// cutting-in of edges.
type Part struct {
	Name string  `json:"name"`
	Min  float64 `json:"min"` // minutes of the whole crew
	// Bucket number and how long it can be used; 0 when it is none.
	Bucket    int     `json:"bucket,omitempty"`
	UsableMin float64 `json:"usable_min,omitempty"`
}

// Stage is a stretch of work that has one start.
type Stage struct {
	// Key is lasting: "main.mat1.2"; Name is printed: "laminate 1, part 2".
	Key  string `json:"key"`
	Name string `json:"name"`
	Kind Kind   `json:"kind"`
	Deck string `json:"deck,omitempty"`
	// Quarters of working time. A divisible stage may stop at any quarter and go on
	// when weather and hours allow, the next day too; others run through.
	Quarters  int  `json:"quarters"`
	Divisible bool `json:"divisible,omitempty"`
	// LeastQuarters is the shortest stretch of hours and weather in which divisible work is begun or gone on with; all of it where it is
	// shorter.
	LeastQuarters int `json:"least_quarters,omitempty"`
	// Parts of it in order, for the day sheet.
	Parts []Part `json:"parts,omitempty"`
	// Lead is how many of its first quarters come before the work that the lag to the
	// stage before is about: sanding before a coat. They have limits of their own.
	Lead       int                  `json:"lead,omitempty"`
	LeadLimits *weather.StageLimits `json:"-"`
	// EdgesMin is how long the edges take that are laid before what goes over the stage before, min.
	EdgesMin float64 `json:"-"`
	// Limits of weather through all its quarters; nil for none.
	Limits *weather.StageLimits `json:"-"`
	// Bare work lies on boards that are bare until then: they must be dry.
	Bare bool `json:"bare,omitempty"`
	// Smells keeps it within the neighbours' hours.
	Smells bool `json:"smells,omitempty"`
	// Film that it leaves; nil for dry work.
	Film *Film `json:"-"`
	// SafeAt is the milestone until which its film must stay free of rain and dew.
	SafeAt Mark `json:"safe_at,omitempty"`
	// Join to the stage before, and Again: later than the join allows, at the cost of
	// AgainQuarters of work more (abrading, making good a day joint). AgainWhy names it.
	Join          Lag    `json:"join"`
	Again         *Lag   `json:"again,omitempty"`
	AgainQuarters int    `json:"again_quarters,omitempty"`
	AgainWhy      string `json:"again_why,omitempty"`
	// NotAlone is work of which too little lies between two joints by itself: begun later than the join allows (Again), the
	// stage after it goes on within its own join.
	NotAlone bool `json:"-"`
	// Hold is what must be signed off before it starts; empty for nothing.
	Hold string `json:"hold,omitempty"`
}

// Lag is the time from the stage before to this one: from its end until Least and
// from its start until Most, as milestones of its film (None: at once, no limit) and
// minutes on top.
type Lag struct {
	// Begin is what the stage's own start waits for, its lead included.
	Begin    Mark    `json:"begin,omitempty"`
	Least    Mark    `json:"least,omitempty"`
	LeastMin float64 `json:"least_min,omitempty"`
	Most     Mark    `json:"most,omitempty"`
	// MostMin minutes on top of Most; with no Most they count from the end of the
	// stage before; 0 then is no limit.
	MostMin float64 `json:"most_min,omitempty"`
	// Why in words: "hard enough to sand".
	Why string `json:"why,omitempty"`
}

// bounded reports whether the lag has a greatest.
func (l Lag) bounded() bool { return l.Most != None || l.MostMin > 0 }

// Hours are when work may go on.
type Hours struct {
	// Start and End of the working day, minutes after local midnight.
	StartMin, EndMin float64
	// Smell bounds the work that neighbours smell; both 0 for no bound.
	SmellFromMin, SmellUntilMin float64
	// Off are days of the week without work.
	Off [7]bool
}

// Override lifts a limit on a person's word.
type Override struct {
	Limit  weather.Limit `json:"limit"`
	Reason string        `json:"reason"`
}

// Input is what a programme follows from.
type Input struct {
	Stages []Stage
	// Members are courses of the weather on the roof by the quarter hour, all of the
	// same times; 1 to 64.
	Members [][]weather.Moment
	// Drawn tells that the members after the first were drawn round a single forecast.
	Drawn bool
	Site  weather.Site
	Hours Hours
	// Sheeted boards take no rain while nobody works on them.
	Sheeted bool
	// Target is the probability that counts as sure; 0 takes 0.9.
	Target float64
	// Overrides lift limits; each needs a reason and is recorded in the result.
	Overrides []Override
	// Common is what other programmes have worked out under the same Members and Site; nil for none.
	Common *Common
	// EarliestStart and FinishBy bound the programme; zero for no bound.
	EarliestStart, FinishBy time.Time
}

// MostMembers is the greatest number of courses: the bits of a word.
const MostMembers = 64

// MostQuarters bounds the stretch: two years and a bit.
const MostQuarters = 750 * 96

func (in *Input) check() error {
	switch {
	case len(in.Stages) == 0:
		return fmt.Errorf("programme: there are no stages. Give the work to be done")
	case len(in.Stages) > 400:
		return fmt.Errorf("programme: %d stages. Plan the roof in parts of at most 400", len(in.Stages))
	case len(in.Members) == 0 || len(in.Members) > MostMembers:
		return fmt.Errorf("programme: %d courses of the weather. Give 1 to %d", len(in.Members), MostMembers)
	case len(in.Members[0]) < 2 || len(in.Members[0]) > MostQuarters:
		return fmt.Errorf("programme: %d moments of weather. Give 2 to %d, by the quarter hour", len(in.Members[0]), MostQuarters)
	case !(in.Hours.StartMin >= 0 && in.Hours.StartMin < in.Hours.EndMin && in.Hours.EndMin <= 24*60):
		return fmt.Errorf("programme: the working day runs from minute %g to %g. Give a start before the end", in.Hours.StartMin, in.Hours.EndMin)
	case !(in.Target >= 0 && in.Target <= 1):
		return fmt.Errorf("programme: the target is %g. Give a probability, 0 to 1", in.Target)
	}
	var before *Stage
	for i := range in.Stages {
		if err := in.Stages[i].check(before); err != nil {
			return err
		}
		before = &in.Stages[i]
	}
	if err := in.Common.checked(in.checkMembers); err != nil {
		return err
	}
	return in.checkOverrides()
}

// checkOverrides finds fault with a limit that is lifted without a reason.
func (in *Input) checkOverrides() error {
	for _, o := range in.Overrides {
		if o.Reason == "" {
			return fmt.Errorf("programme: the limit %q is to be overridden without a reason. Give one: it is recorded", o.Limit)
		}
	}
	return nil
}

// check finds fault with a stage by itself and with what it asks of the one before it.
func (s *Stage) check(before *Stage) error {
	if s.Quarters < 1 || s.Quarters > 4000 || s.AgainQuarters < 0 || s.AgainQuarters > 4000 {
		return fmt.Errorf("programme: stage %q takes %d quarter hours. Give 1 to 4000", s.Name, s.Quarters)
	}
	if s.Lead < 0 || s.Lead >= s.Quarters {
		return fmt.Errorf("programme: stage %q: a lead of %d of its %d quarter hours. Give fewer", s.Name, s.Lead, s.Quarters)
	}
	if before != nil && before.Film == nil && (s.Join.Least != None || s.Join.Most != None || s.Join.Begin != None) {
		return fmt.Errorf("programme: stage %q waits for the film of %q, which leaves none. Give lags in minutes", s.Name, before.Name)
	}
	if s.SafeAt != None && s.Film == nil {
		return fmt.Errorf("programme: stage %q is to be kept dry until %s but leaves no film. Give its film", s.Name, s.SafeAt)
	}
	return nil
}

// checkMembers finds fault with courses that are not of the same quarter hours.
func (in *Input) checkMembers() error {
	first := in.Members[0]
	for m, c := range in.Members {
		if len(c) != len(first) || !c[0].Time.Equal(first[0].Time) {
			return fmt.Errorf("programme: course %d of the weather has other times than the first. Give members of the same span", m+1)
		}
		for i := 1; i < len(c); i++ {
			if c[i].Time.Sub(c[i-1].Time) != Quarter {
				return fmt.Errorf("programme: course %d: %s does not come a quarter hour after %s. Read between the hours first", m+1,
					c[i].Time.Format(time.RFC3339), c[i-1].Time.Format(time.RFC3339))
			}
		}
	}
	return nil
}
