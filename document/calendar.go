package document

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"gelwright/desk"
	"gelwright/programme"
)

// stampOf is the date that files bear: the job's, never the clock's.
func stampOf(o *desk.Outlook, p *programme.Plan) time.Time {
	stamp, err := time.Parse("2006-01-02", o.Job.Date)
	if err != nil {
		return p.Begin
	}
	return stamp
}

// Calendar writes the best programme of an answer as iCalendar (RFC 5545), which gives no order where
// page one gives none. Stamps bear the job's date, so that the same plan is the same file.
func Calendar(o *desk.Outlook, w *desk.When) []byte {
	p := w.Best()
	cal := ics.NewCalendarFor("gelwright")
	cal.SetMethod(ics.MethodPublish)
	stamp := stampOf(o, p)
	for i, s := range p.Sessions() {
		e := cal.AddEvent(fmt.Sprintf("%d-%s-%s@gelwright", i+1, strings.ReplaceAll(s.Key, " ", "-"), p.Begin.UTC().Format("20060102T1504")))
		e.SetDtStampTime(stamp)
		e.SetStartAt(s.Start)
		e.SetEndAt(s.End)
		at := s.Start.In(o.Zone()).Format("15:04")
		summary := fmt.Sprintf("%s: %s", o.Job.Name, s.Name)
		order := s.Call.Order(s.Name, "at "+at)
		if !w.Order() || !desk.Settled(p) {
			summary = "NOT SURE, do not begin: " + summary
			order = strings.Replace(order, "Begin ", "Do not begin on this plan. By itself it would hold: ", 1)
		}
		e.SetSummary(summary)
		text := fmt.Sprintf("%s. Start between %s and %s.", order, s.Earliest.In(o.Zone()).Format("15:04"),
			s.Latest.In(o.Zone()).Format("15:04"))
		if s.Hold != "" {
			text += " Before it: " + s.Hold + "."
		}
		if first := cmp.Or(s.Again, s.First); first != "" {
			text += " First: " + first + "."
		}
		if !s.SafeByLate.IsZero() {
			text += fmt.Sprintf(" Keep dry until %s.", s.SafeByLate.In(o.Zone()).Format("Mon 2 Jan 15:04"))
		}
		e.SetDescription(text)
		if o.Job.Site.Name != "" {
			e.SetLocation(o.Job.Site.Name)
		}
	}
	// Lines end in CR LF on every machine (RFC 5545, 3.1).
	return []byte(cal.Serialize(ics.WithNewLineWindows))
}
