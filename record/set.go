package record

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Set is the events of one roof that a device knows, whatever the order in which they came.
type Set struct {
	job    string
	events map[ID]*Event
}

// New is an empty record of a roof.
func New(job string) *Set { return &Set{job: job, events: map[ID]*Event{}} }

// Job is the name under which it runs.
func (s *Set) Job() string { return s.job }

// Len is how many events it has.
func (s *Set) Len() int { return len(s.events) }

// Add takes an event that another device made, or that came back. Known events are taken again without harm (false); another content
// under a known id is a fault: a device never writes twice under one number.
func (s *Set) Add(e *Event) (bool, error) {
	if e.Job != s.job {
		return false, Fault{Event: e.ID().String(),
			Says: fmt.Sprintf("it belongs to the record of %q, this is that of %q", e.Job, s.job)}
	}
	if old := s.events[e.ID()]; old != nil {
		if old.hash != e.hash {
			return false, Fault{Event: e.ID().String(),
				Says: "another event has this id: one of the two is forged, or a device was copied while it wrote"}
		}
		return false, nil
	}
	s.events[e.ID()] = e
	return true, nil
}

// Append makes the next event of a device: numbered, ordered and chained after all that the set holds. The device's time is given, for
// nothing here has a clock.
func (s *Set) Append(device, at, who string, what What, facts Facts) (*Event, error) {
	if kinds[what] == nil {
		return nil, Fault{Says: fmt.Sprintf("nothing that happens is called %q; there are: %s", what, names())}
	}
	e := &Event{Version: Version, Job: s.job, Device: device, Number: 1, At: at, Who: who, What: what, Facts: facts}
	for _, x := range s.events {
		e.Order = max(e.Order, x.Order)
		if x.Device == device && x.Number >= e.Number {
			e.Number, e.Before = x.Number+1, x.hash
		}
	}
	e.Order++
	if err := s.about(e); err != nil {
		return nil, err
	}
	if err := e.seal(); err != nil {
		return nil, err
	}
	if _, err := s.Add(e); err != nil {
		return nil, err
	}
	return e, nil
}

// about says whether an event that speaks of another can: it is in the record, it is no correction itself, and a correction has the
// facts that its kind wants.
func (s *Set) about(e *Event) error {
	if e.Facts.Of == "" {
		return nil
	}
	no := func(says string, values ...any) error { return Fault{Says: fmt.Sprintf(says, values...)} }
	of := s.byName(e.Facts.Of)
	switch {
	case of == nil:
		return no("of: no event %q is in the record", e.Facts.Of)
	case e.What == Received:
		return nil
	case of.What == Corrected || of.What == TakenBack || of.What == Received:
		return no("of: %s is itself %q: name the event that it is about, %s", e.Facts.Of, of.What, of.Facts.Of)
	case e.What == Corrected:
		return e.Facts.sound(of.What, no)
	}
	return nil
}

// Events in their order: by Order, then by device, never by a clock.
func (s *Set) Events() []*Event {
	out := make([]*Event, 0, len(s.events))
	for _, e := range s.events {
		out = append(out, e)
	}
	slices.SortFunc(out, func(a, b *Event) int {
		return cmp.Or(cmp.Compare(a.Order, b.Order), strings.Compare(a.Device, b.Device), cmp.Compare(a.Number, b.Number))
	})
	return out
}

// Lines is the record as text: an event a line, in their order.
func (s *Set) Lines() string {
	var b strings.Builder
	for _, e := range s.Events() {
		b.WriteString(e.Line())
		b.WriteByte('\n')
	}
	return b.String()
}

// Faults are what does not hold together: gaps in a device's numbers, events that do not follow the one before, an order that runs back.
// None means that no event between the first and the last of each device was changed, left out or put in after the next was written.
func (s *Set) Faults() []Fault {
	var out []Fault
	last := map[string]*Event{}
	byDevice := slices.SortedFunc(slices.Values(s.Events()), func(a, b *Event) int {
		return cmp.Or(strings.Compare(a.Device, b.Device), cmp.Compare(a.Number, b.Number))
	})
	for _, e := range byDevice {
		before := last[e.Device]
		last[e.Device] = e
		number, hash, order := 0, "", 0
		if before != nil {
			number, hash, order = before.Number, before.hash, before.Order
		}
		switch {
		case e.Number != number+1:
			out = append(out, Fault{Event: e.ID().String(), Says: "before it the device's " + numbers(number+1, e.Number-1) + " missing"})
		case e.Before != hash:
			out = append(out, Fault{Event: e.ID().String(), Says: "it does not follow the event before it: one of the two was changed"})
		case e.Order <= order:
			out = append(out, Fault{Event: e.ID().String(), Says: "its order does not come after the device's own event before it"})
		}
		if e.Facts.Of != "" && s.byName(e.Facts.Of) == nil {
			out = append(out, Fault{Event: e.ID().String(), Says: fmt.Sprintf("it is about %s, which is not in the record", e.Facts.Of)})
		}
	}
	return out
}

func numbers(from, to int) string {
	if from == to {
		return fmt.Sprintf("event %d is", from)
	}
	return fmt.Sprintf("events %d to %d are", from, to)
}

func (s *Set) byName(id string) *Event {
	device, number, ok := strings.Cut(id, "-")
	n := 0
	if _, err := fmt.Sscanf(number, "%d", &n); !ok || err != nil {
		return nil
	}
	return s.events[ID{device, n}]
}

// Head is the last event of a device: who knows its hash can tell later whether anything before it was changed.
type Head struct {
	Device string `json:"device"`
	Events int    `json:"events"`
	Hash   string `json:"hash"`
}

// Heads are the last events of all devices, by device.
func (s *Set) Heads() []Head {
	heads := map[string]Head{}
	for id, e := range s.events {
		if id.Number > heads[id.Device].Events {
			heads[id.Device] = Head{id.Device, id.Number, e.hash}
		}
	}
	out := make([]Head, 0, len(heads))
	for _, h := range heads {
		out = append(out, h)
	}
	slices.SortFunc(out, func(a, b Head) int { return strings.Compare(a.Device, b.Device) })
	return out
}

// ReadAll takes a record as text. Every fault is told with its line; what is sound is in the set all the same.
func ReadAll(r io.Reader) (*Set, []Fault, error) {
	var s *Set
	var faults []Fault
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 2*MostBytes)
	n := 0
	for lines.Scan() {
		n++
		if strings.TrimSpace(lines.Text()) == "" {
			continue
		}
		e, err := Read(lines.Text())
		if err == nil {
			if s == nil {
				s = New(e.Job)
			}
			_, err = s.Add(e)
		}
		var f Fault
		if errors.As(err, &f) {
			f.Line = n
			faults = append(faults, f)
		} else if err != nil {
			return nil, nil, err
		}
	}
	if err := lines.Err(); err != nil {
		faults = append(faults, Fault{Line: n + 1, Says: err.Error()})
	}
	if s == nil {
		s = New("")
	}
	return s, append(faults, s.Faults()...), nil
}

// Witness says what is wrong where a hash that somebody kept, a head of earlier, is not in the record; nil where it is.
func (s *Set) Witness(hash string) *Fault {
	if !digest.MatchString(hash) {
		return &Fault{Says: fmt.Sprintf("%q is no hash: it has 64 letters of 0-9 and a-f, as 'record show' prints it", hash)}
	}
	for _, e := range s.events {
		if e.hash == hash {
			return nil
		}
	}
	return &Fault{Says: "no event has the hash " + hash + ": what ended with it was cut off or changed"}
}
