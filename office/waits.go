package office

import "slices"

// Roof is what the roof of a job says to the office, from its file, its plan and its forecast.
type Roof struct {
	// Decks that have an outline; AreaM2 of all of them, m², 0 where there is no plan.
	Decks  int     `json:"decks"`
	AreaM2 float64 `json:"area_m2"`
	// Faults stand in the way of a plan; Fault is the first, in words.
	Faults int    `json:"faults"`
	Fault  string `json:"fault"`
	// Questions the plan asks that nobody has answered, and Stops that it says no to.
	Questions int `json:"questions"`
	Stops     int `json:"stops"`
	// Outlook is what the forecast says.
	Outlook Outlook `json:"outlook"`
	// Work are the days of the plan, Fetch what is bought for the roof, a line each.
	Work  []DayWork `json:"work"`
	Fetch []string  `json:"fetch"`
}

// DayWork is the work of one day of a plan: under a forecast of a date, otherwise of the wet work's first, second … day.
type DayWork struct {
	Date string   `json:"date"`
	Work []string `json:"work"`
}

// WorkOn is the work of a day on the roof, the nth of so many: that of its date where the plan has one, else that of the plan's day
// when the last of both fall together, since what comes before the wet work has no day of its own there. Nil where none is known.
func (r *Roof) WorkOn(day string, nth, of int) []string {
	for _, w := range r.Work {
		if w.Date == day {
			return w.Work
		}
	}
	if at := nth - 1 - (of - len(r.Work)); at >= 0 && at < len(r.Work) {
		return r.Work[at].Work
	}
	return nil
}

// Outlook is how sure the whole roof is from each day of its forecast.
type Outlook struct {
	// Target is the chance that counts as sure, 0 to 1; 0 where there is no forecast.
	Target float64 `json:"target"`
	// Days of the forecast in order, each with the best beginning on it.
	Days []Chance `json:"days"`
	// None says why there is no chance of any day; empty where there is.
	None string `json:"none"`
}

// Chance is the chance that all of the roof's work holds when it begins on a day.
type Chance struct {
	Date string `json:"date"`
	// P is 0 to 1; At the time of day to begin, Finish when all is done, "Thu 4 Jun 16:30".
	P      float64 `json:"p"`
	At     string  `json:"at"`
	Finish string  `json:"finish"`
	// Sure: it is as much as is wanted, and a bucket can be mixed. Why says why it cannot begin at all.
	Sure bool   `json:"sure"`
	Why  string `json:"why"`
}

// On is the chance of a day; false where the forecast does not reach it.
func (o *Outlook) On(day string) (Chance, bool) {
	for _, c := range o.Days {
		if c.Date == day {
			return c, true
		}
	}
	return Chance{}, false
}

// Waiting is a reason why a job does not go on.
type Waiting string

// What a job may wait for. All but Word are found from what is kept.
const (
	NoCustomer   Waiting = "no customer"   // nobody is named to talk to
	NoDimensions Waiting = "no dimensions" // the roof has no outline yet
	Faulty       Waiting = "faults"        // N faults stand in the way of a plan
	Questions    Waiting = "questions"     // the plan asks N questions
	Stops        Waiting = "stops"         // the plan says no N times
	NotOrdered   Waiting = "not ordered"   // no day on which the goods were ordered
	NoDay        Waiting = "no day"        // no day on the roof
	Weather      Waiting = "weather"       // the next day on the roof is not sure
	WeatherFar   Waiting = "weather far"   // its forecast does not reach the next day on the roof, or there is none
	Word         Waiting = "word"          // what somebody typed
)

// Wait is one thing that a job waits for.
type Wait struct {
	For Waiting `json:"for"`
	// N counts faults, questions or stops; P is the chance of the next day, 0 to 1.
	N int     `json:"n"`
	P float64 `json:"p"`
	// Date of the next day on the roof, or by which it was promised; empty of others.
	Date string `json:"date"`
	// Text is what was typed, or the first fault.
	Text string `json:"text"`
	// Late: the day by which it was promised is past.
	Late bool `json:"late"`
}

// Waits are what a job waits for on a day, what somebody typed first, then in the order of the way. roof is nil where nobody has
// looked at it; what rests on it is then left out. days are those of the job. A job that was not taken, and one in aftercare,
// waits for what was typed alone.
func (j Job) Waits(roof *Roof, days []Booked, today string) []Wait {
	out := []Wait{}
	for _, w := range j.Awaits {
		out = append(out, Wait{For: Word, Text: w.What, Date: w.By, Late: w.By != "" && w.By < today})
	}
	at := j.At().Place()
	if j.At() == NotTaken || at >= Aftercare.Place() {
		return out
	}
	if j.Customer == "" {
		out = append(out, Wait{For: NoCustomer})
	}
	if roof != nil && at >= Survey.Place() && at <= OnTheRoof.Place() {
		out = append(out, roof.waits(at)...)
	}
	if at >= Order.Place() && at <= OnTheRoof.Place() && j.Ordered == "" {
		out = append(out, Wait{For: NotOrdered})
	}
	if at == Order.Place() || at == OnTheRoof.Place() {
		out = append(out, waitsForDay(roof, days, today)...)
	}
	return out
}

// waits are those that the roof's file and plan give.
func (r *Roof) waits(at int) []Wait {
	switch {
	case r.Decks == 0:
		return []Wait{{For: NoDimensions}}
	case r.Faults > 0:
		return []Wait{{For: Faulty, N: r.Faults, Text: r.Fault}}
	case at < Design.Place():
		return nil
	}
	var out []Wait
	if r.Stops > 0 {
		out = append(out, Wait{For: Stops, N: r.Stops})
	}
	if r.Questions > 0 {
		out = append(out, Wait{For: Questions, N: r.Questions})
	}
	return out
}

// waitsForDay are a day on the roof and the weather of the next.
func waitsForDay(roof *Roof, days []Booked, today string) []Wait {
	next := Next(days, today)
	if next == "" {
		if slices.ContainsFunc(days, func(d Booked) bool { return !d.Off }) {
			return nil // its days are over: it waits for somebody to move it
		}
		return []Wait{{For: NoDay}}
	}
	if roof == nil || roof.Decks == 0 || roof.Faults > 0 {
		return nil
	}
	c, known := roof.Outlook.On(next)
	switch {
	case !known:
		return []Wait{{For: WeatherFar, Date: next}}
	case !c.Sure:
		return []Wait{{For: Weather, Date: next, P: c.P, Text: c.Why}}
	}
	return nil
}

// Next is the first of some days that is today or later; empty where there is none.
func Next(days []Booked, today string) string {
	next := ""
	for _, d := range days {
		if !d.Off && d.Date >= today && (next == "" || d.Date < next) {
			next = d.Date
		}
	}
	return next
}
