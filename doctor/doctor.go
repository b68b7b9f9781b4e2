package doctor

import (
	"context"
	"fmt"
	"strings"
	"time"
)

// State is how a check ended.
type State string

// The states: in order; worth a look, soon; wrong, now; not looked at, with the reason.
const (
	OK    State = "ok"
	Warn  State = "warn"
	Bad   State = "bad"
	Blank State = "not looked at"
)

// Finding is what a check found.
type Finding struct {
	Check  string `json:"check"`
	State  State  `json:"state"`
	Found  string `json:"found"`
	Remedy string `json:"remedy,omitempty"`
}

// Patient is what is looked at. Zero fields are not looked at.
type Patient struct {
	// Data is the data folder.
	Data string
	// Now is the clock, Built when the program was made; zero is not known.
	Now   func() time.Time
	Built time.Time
	// Store looks at what is kept: the database, as an error with its remedy.
	Store func(ctx context.Context) (Kept, error)
	// Files looks at a sample of the files that are kept, against their hashes.
	Files func(ctx context.Context) (looked int, faults []error)
	// Names are those by which the server is to be found, beside the machine's own; Listen is where it listens.
	Names  []string
	Listen string
	// Weather is the address of the weather service.
	Weather string
	// Parts say what is built into the program.
	Parts []Part

	// Free gives the bytes that are free on the disk of a folder; nil is as the system says.
	Free func(dir string) (uint64, error)
}

// Kept is what is told of a database: when a job was changed last, and how many people have, or had, an account.
type Kept struct {
	Changed  time.Time
	Accounts int
}

// Part is something that is built into the program, or is not.
type Part struct {
	Name   string
	Err    error
	Remedy string
}

// checks are all, in the order in which they are told.
var checks = []struct {
	name string
	look func(context.Context, *Patient) Finding
}{
	{"data folder", folder}, {"disk", disk}, {"what is kept", kept}, {"files", files}, {"people", accounts}, {"clock", clock},
	{"authority", holdsAuthority}, {"names", names}, {"port", port}, {"weather service", weather}, {"program", built},
}

// Examine looks at everything, in order. The end of ctx ends the look at what takes long.
func Examine(ctx context.Context, p Patient) []Finding {
	if p.Now == nil {
		p.Now = time.Now
	}
	if p.Free == nil {
		p.Free = free
	}
	out := make([]Finding, 0, len(checks))
	for _, c := range checks {
		f := c.look(ctx, &p)
		f.Check = c.name
		f.Found, f.Remedy = strings.TrimSuffix(f.Found, "."), strings.TrimSuffix(f.Remedy, ".")
		out = append(out, f)
	}
	return out
}

// Sound reports whether nothing is wrong.
func Sound(list []Finding) bool {
	for _, f := range list {
		if f.State == Bad {
			return false
		}
	}
	return true
}

func ok(format string, args ...any) Finding {
	return Finding{State: OK, Found: fmt.Sprintf(format, args...)}
}

func blank(why string) Finding { return Finding{State: Blank, Found: why} }

func warn(remedy, format string, args ...any) Finding {
	return Finding{State: Warn, Found: fmt.Sprintf(format, args...), Remedy: remedy}
}

func bad(remedy, format string, args ...any) Finding {
	return Finding{State: Bad, Found: fmt.Sprintf(format, args...), Remedy: remedy}
}
