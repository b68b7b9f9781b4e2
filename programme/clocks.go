package programme

import (
	"encoding/binary"
	"fmt"
	"time"
)

// clocks is a time zone as far as it is needed: what its clocks show, and from when on.
type clocks struct {
	Name string `json:"name"`
	// Shows are in the order of time; the first holds before it too.
	Shows []clock `json:"clocks"`
}

// clock is how far local time is before UTC.
type clock struct {
	From  time.Time `json:"from"`
	EastS int       `json:"east_s"`
	Short string    `json:"short"`
}

// mostShows is how often a zone's clocks may be put forward or back among the days told.
const mostShows = 100

// clocksOf looks what the clocks of a zone show between two times, to the minute at which
// they are changed.
func clocksOf(zone *time.Location, from, to time.Time) clocks {
	if zone == nil {
		zone = time.UTC
	}
	at := from.In(zone)
	short, east := at.Zone()
	c := clocks{zone.String(), []clock{{from.UTC(), east, short}}}
	for t := from; t.Before(to); {
		_, next := t.In(zone).ZoneBounds()
		if next.IsZero() || !next.Before(to) {
			break
		}
		short, east = next.In(zone).Zone()
		c.Shows = append(c.Shows, clock{next.UTC(), east, short})
		t = next
	}
	return c
}

// location makes the zone anew, in the form in which zones are published (RFC 8536), which
// is the one way to give a location its changes.
func (c clocks) location() (*time.Location, error) {
	if len(c.Shows) == 0 || len(c.Shows) > mostShows {
		return nil, fmt.Errorf("time zone %q: %d clocks are told: 1 to %d are allowed", c.Name, len(c.Shows), mostShows)
	}
	const day = 24 * 60 * 60
	var changes, kinds, types []byte
	var names []byte
	for i, s := range c.Shows {
		if s.EastS < -day || s.EastS > day || len(s.Short) > 6 || len(s.Short) == 0 {
			return nil, fmt.Errorf("time zone %q: clocks %d s before UTC, called %q", c.Name, s.EastS, s.Short)
		}
		if i > 0 {
			if !s.From.After(c.Shows[i-1].From) {
				return nil, fmt.Errorf("time zone %q: its clocks are not in order", c.Name)
			}
			changes = binary.BigEndian.AppendUint64(changes, uint64(s.From.Unix()))
			kinds = append(kinds, byte(i))
		}
		types = binary.BigEndian.AppendUint32(types, uint32(int32(s.EastS)))
		types = append(types, 0, byte(len(names)))
		names = append(append(names, s.Short...), 0)
		if len(names) > 255 {
			return nil, fmt.Errorf("time zone %q: its clocks have too many names", c.Name)
		}
	}
	head := func(changes, types, names int) []byte {
		h := append([]byte("TZif2"), make([]byte, 15)...)
		for _, n := range []int{0, 0, 0, changes, types, names} {
			h = binary.BigEndian.AppendUint32(h, uint32(n))
		}
		return h
	}
	raw := head(0, 0, 0)
	raw = append(raw, head(len(kinds), len(c.Shows), len(names))...)
	raw = append(append(append(append(raw, changes...), kinds...), types...), names...)
	raw = append(raw, '\n', '\n')
	return time.LoadLocationFromTZData(c.Name, raw)
}
