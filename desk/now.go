package desk

import (
	"context"
	"strings"
	"time"

	"gelwright/programme"
	"gelwright/weather"
)

// Now says what to do at a time, with what is done already.
func (o *Outlook) Now(ctx context.Context, at time.Time, done []programme.Done) (*programme.Advice, error) {
	a, err := o.prepared.Now(ctx, at, done)
	if err != nil {
		return nil, as(Asked, err)
	}
	return a, nil
}

// Stops says no to advice other than to begin now or to wait within the day.
func Stops(a *programme.Advice) error {
	if a.Verdict == weather.NoGo {
		return refuse("%s", a.Act)
	}
	return nil
}

// Done reads what is done as it is written after one another, "trims,details=11:20": stages
// by any of their names, each with its end where it was not just now. Names may hold commas,
// as those that are printed do: "laminate, part 1 of 3".
func (o *Outlook) Done(text string, at time.Time) ([]programme.Done, error) {
	var out []programme.Done
	pieces := strings.Split(text, ",")
	for i := 0; i < len(pieces); {
		if strings.TrimSpace(pieces[i]) == "" {
			i++
			continue
		}
		// The longest run of pieces that is a name.
		n := 1
		for k := len(pieces) - i; k > 1; k-- {
			key, _, _ := strings.Cut(strings.Join(pieces[i:i+k], ","), "=")
			if !strings.Contains(strings.Join(pieces[i:i+k-1], ""), "=") && o.prepared.Knows(strings.TrimSpace(key)) {
				n = k
				break
			}
		}
		d, err := doneAt(strings.Join(pieces[i:i+n], ","), at, o.Zone())
		if err != nil {
			return nil, err
		}
		out = append(out, d)
		i += n
	}
	return out, nil
}

// doneAt reads one stage with the time of its end.
func doneAt(text string, at time.Time, zone *time.Location) (programme.Done, error) {
	key, clock, timed := strings.Cut(strings.TrimSpace(text), "=")
	d := programme.Done{Key: strings.TrimSpace(key)}
	if !timed {
		return d, nil
	}
	var err error
	d.End, err = Clock(strings.TrimSpace(clock), at, zone)
	return d, err
}

// Since is the earliest time that a list of work done names, at when it names none.
func Since(texts []string, at time.Time, zone *time.Location) time.Time {
	first := at
	for _, text := range texts {
		for piece := range strings.SplitSeq(text, ",") {
			if d, err := doneAt(piece, at, zone); err == nil && !d.End.IsZero() && d.End.Before(first) {
				first = d.End
			}
		}
	}
	return first
}
