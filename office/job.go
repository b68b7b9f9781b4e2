package office

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"gelwright/store"
)

// Stage is where a job stands on the trade's way.
type Stage string

// The trade's way in its order, and the way out of it.
const (
	Enquiry   Stage = "enquiry"     // somebody asked
	Survey    Stage = "survey"      // somebody is to measure
	Design    Stage = "design"      // build-up, falls and checks are to be settled
	Order     Stage = "order"       // it is taken: goods and day are to be fixed
	OnTheRoof Stage = "on the roof" // it is being laid
	HandOver  Stage = "hand-over"   // it is laid; papers, snags and money are left
	Aftercare Stage = "aftercare"   // it is the customer's; somebody looks after it
	NotTaken  Stage = "not taken"   // it was not ordered, or not wanted; Job.Why says why
)

// Way is the trade's way in its order, without the way out.
func Way() []Stage { return []Stage{Enquiry, Survey, Design, Order, OnTheRoof, HandOver, Aftercare} }

// Place is the number of a stage on the way from 0; -1 of a job that was not taken and of what is no stage.
func (s Stage) Place() int { return slices.Index(Way(), s) }

// OpenStages are those at which a job is open: it is ordered and not yet handed over, so that goods, days and weather matter.
func OpenStages() []Stage { return []Stage{Order, OnTheRoof, HandOver} }

// Open reports whether a job at a stage is open.
func (s Stage) Open() bool { return slices.Contains(OpenStages(), s) }

// Job is the office's sheet of a job: where it stands and what belongs to it. The zero Job is an enquiry of which nothing is known.
type Job struct {
	Stage Stage `json:"stage"`
	// Why a job was not taken; empty of others.
	Why string `json:"why"`
	// Reached are the stages with the day on which each began, in the order of the way; one that was passed over has none.
	Reached []Reached `json:"reached"`
	// Customer and Site are sheets of their kinds; empty where none is named.
	Customer store.ID `json:"customer"`
	Site     store.ID `json:"site"`
	// Awaits are what somebody typed that it waits for.
	Awaits []Awaited `json:"waits"`
	// Ordered is the day on which the goods were ordered; empty before.
	Ordered string `json:"ordered"`
	Note    string `json:"note"`
}

// Reached says when a stage began.
type Reached struct {
	Stage Stage  `json:"stage"`
	Date  string `json:"date"`
}

// Awaited is what a job waits for by somebody's word: "customer decides", by a day or, empty, by none.
type Awaited struct {
	What string `json:"what"`
	By   string `json:"by"`
}

// At is where the job stands.
func (j Job) At() Stage {
	if j.Stage == "" {
		return Enquiry
	}
	return j.Stage
}

// Kind is KindJob.
func (Job) Kind() Kind { return KindJob }

// Keys are stage, customer and site.
func (j Job) Keys() Keys { return Keys{Customer: j.Customer, Site: j.Site, Stage: j.At()} }

// Check says what of a job's sheet cannot be kept.
func (j Job) Check() error {
	at := j.At()
	if at.Place() < 0 && at != NotTaken {
		return refused("stage", fmt.Sprintf("The stages are %s, and %s", joined(Way()), NotTaken), "%q is no stage", shortened(string(at)))
	}
	if (at == NotTaken) != (j.Why != "") {
		return refused("why", "Say in a few words why the job was not taken, and of no other job",
			"a job that stands at %s has the reason %q", at, shortened(j.Why))
	}
	if err := j.checkReached(at); err != nil {
		return err
	}
	if len(j.Awaits) > MostList {
		return refused("waits", fmt.Sprintf("Give at most %d", MostList), "it has %d lines", len(j.Awaits))
	}
	for i, w := range j.Awaits {
		place := fmt.Sprintf("waits, line %d", i+1)
		if w.What == "" {
			return refused(place, "Say what the job waits for, or leave the line out", "it is empty")
		}
		if err := first(line(place, w.What), date(place+", by", w.By, true)); err != nil {
			return err
		}
	}
	return first(line("why", j.Why), id("customer", j.Customer), id("site", j.Site), date("ordered", j.Ordered, true), note("note", j.Note))
}

// checkReached holds the days on which stages began to the way.
func (j Job) checkReached(at Stage) error {
	last := -1
	for i, r := range j.Reached {
		place := fmt.Sprintf("reached, line %d", i+1)
		n := r.Stage.Place()
		if n <= last {
			return refused(place, "Name each stage once, in the order of the way",
				"%q is no stage behind the one before", shortened(string(r.Stage)))
		}
		if at != NotTaken && n > at.Place() {
			return refused(place, "Move the job there, or leave it out", "the job stands at %s and cannot have reached %s", at, r.Stage)
		}
		if err := date(place, r.Date, false); err != nil {
			return err
		}
		last = n
	}
	return nil
}

// notAhead refuses a stage that is still to begin when its sheet is written. Which day it is where the firm is is not known here: a day
// that has begun somewhere on the earth will do.
func (j Job) notAhead(when time.Time) error {
	const east = 14 * time.Hour // the furthest that a clock is ahead of UTC
	last := when.UTC().Add(east).Format(time.DateOnly)
	for i, r := range j.Reached {
		if IsDate(r.Date) && r.Date > last {
			return refused(fmt.Sprintf("reached, line %d", i+1), "A stage begins when it begins: plan a day on the roof for what is to come",
				"%s cannot have begun on %s, which is still to come", r.Stage, r.Date)
		}
	}
	return nil
}

func joined(all []Stage) string {
	out := ""
	for i, s := range all {
		if i > 0 {
			out += ", "
		}
		out += string(s)
	}
	return out
}

// PassedOver are the stages that a job passes over where it is moved to another from where it stands, or stood when it was not taken.
func (j Job) PassedOver(to Stage) []Stage {
	from := j.At().Place()
	if from < 0 {
		from = 0
		for _, r := range j.Reached {
			from = max(from, r.Stage.Place())
		}
	}
	if n := to.Place(); n > from+1 {
		return Way()[from+1 : n]
	}
	return nil
}

// Move is the job moved to a stage on a day, today or before it: stages behind the new one are no longer reached, a job that was not
// taken keeps those that it had reached, with why. A job may go on, or back, and pass stages over where it is said why: a small repair
// is ordered on the telephone. What was moved is given too, though it is refused.
func (j Job) Move(to Stage, on, today, why string) (Job, error) {
	if !IsDate(on) {
		return j, date("on", on, false)
	}
	out := j
	out.Stage, out.Why, out.Reached = to, "", nil
	if to == NotTaken {
		out.Why = why
	}
	for _, r := range j.Reached {
		if to == NotTaken || r.Stage.Place() <= to.Place() {
			out.Reached = append(out.Reached, r)
		}
	}
	there := slices.ContainsFunc(out.Reached, func(r Reached) bool { return r.Stage == to })
	if to.Place() >= 0 && !there {
		out.Reached = append(out.Reached, Reached{to, on})
	}
	if on > today {
		return out, refused("on", "A stage begins when it begins: plan a day on the roof for what is to come",
			"%s is still to come, today is %s", on, today)
	}
	if over := j.PassedOver(to); len(over) > 0 && strings.TrimSpace(why) == "" {
		return out, refused("why", "Say in a few words why, or move it stage by stage", "it passes over %s", joined(over))
	}
	return out, out.Check()
}

// MovedWords are the words of a move for the history of the job's sheet.
func (j Job) MovedWords(to Stage, why string) string {
	out := "moved to " + string(to)
	if over := j.PassedOver(to); len(over) > 0 {
		out += ", passing over " + joined(over)
	}
	if why != "" && to != NotTaken {
		out += ": " + why
	}
	return out
}

// Step is a stage of a job's way as a wall chart shows it.
type Step struct {
	Stage Stage `json:"stage"`
	// Done: the job has gone past it; Here: it stands there.
	Done bool `json:"done"`
	Here bool `json:"here"`
	// Date on which the stage began; empty where it is ahead or was passed over.
	Date string `json:"date"`
}

// Steps are the stages of the way, ticked as far as the job has come. Of a job that was not taken those are done that it reached.
func (j Job) Steps() []Step {
	at, far := j.At(), -1
	out := make([]Step, 0, len(Way()))
	for _, r := range j.Reached {
		far = max(far, r.Stage.Place())
	}
	if at != NotTaken {
		far = at.Place() - 1
	}
	for n, s := range Way() {
		x := Step{Stage: s, Done: n <= far, Here: s == at}
		for _, r := range j.Reached {
			if r.Stage == s {
				x.Date = r.Date
			}
		}
		out = append(out, x)
	}
	return out
}
