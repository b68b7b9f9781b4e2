package rooffile

import (
	"fmt"
	"io"
	"strings"
	"time"

	"gelwright/internal/form"
	"gelwright/roof"
)

// Version is the version of the roof file that this package reads and writes.
const Version = 1

// Fault is one thing wrong with a file: where, what and how to mend it.
type Fault = form.Fault

// Faults is everything wrong with a file, in order of its lines. As an error it
// prints one fault a line.
type Faults = form.Faults

// Read turns the text of a roof file into a checked Job. file is the name that
// messages and sources bear. The Faults returned are the warnings; when anything is
// worse than a warning, the error is a Faults that holds all of them and the Job is
// not to be used.
func Read(file string, data []byte) (roof.Job, Faults, error) {
	rd := form.Open(file, data)
	var d document
	if root := rd.Root(); root.Exists() {
		documentTable.Read(root, &d)
		finish(rd, &d)
	}
	faults := rd.Faults()
	if faults.Bad() {
		return roof.Job{}, nil, faults
	}
	d.job.File = file
	return d.job, faults, nil
}

// ReadFrom reads a roof file from r, no more of it than a roof file may have.
func ReadFrom(file string, r io.Reader) (roof.Job, Faults, error) {
	data, err := form.ReadAll(r)
	if err != nil {
		return roof.Job{}, nil, fmt.Errorf("reading %s: %w", file, err)
	}
	return Read(file, data)
}

// Taped is the survey of one deck.
type Taped struct {
	Deck   string
	Survey *roof.Survey
}

// Surveys reads nothing but the taped outlines of a roof file, so that a survey can be judged before the rest of the file is written,
// and when it does not close. The error is a Faults where no deck has a survey, or one of them cannot be adjusted.
func Surveys(file string, r io.Reader) ([]Taped, error) {
	data, err := form.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", file, err)
	}
	rd := form.Open(file, data)
	var d document
	if root := rd.Root(); root.Exists() {
		documentTable.Read(root, &d)
	}
	var out []Taped
	for i := range d.job.Decks {
		if k := &d.job.Decks[i]; k.Survey != nil {
			out = append(out, Taped{k.Name, k.Survey})
		}
	}
	faults := rd.Faults()
	var bad Faults
	for _, f := range faults {
		// What else is wrong with the file, or still missing in it, is no matter of the tape.
		if !f.Warning && (len(out) == 0 || strings.HasPrefix(f.Code, "survey.") && f.Code != "survey.open") {
			bad = append(bad, f)
		}
	}
	switch {
	case len(bad) > 0:
		return out, bad
	case len(out) == 0:
		return nil, Faults{{Code: "survey.none", File: file, Message: "no deck has a survey",
			Remedy: `Add "survey: {walk: 7.20 left 3.20 left 7.20 left 3.20 left}"`}}
	}
	return out, nil
}

// unread are the problems that only say that something is not there. They are
// spoken of once, when the file is read, and not again when it is checked.
var unread = map[string]bool{"decks.none": true, "outline.corners": true, "edge.condition": true, "edge.missing": true, "fall.planes": true,
	"opening.outline": true, "area.corners": true}

// finish takes the defaults and checks the whole, also when some of it could not be
// read: every fault is to be found in one go.
func finish(rd *form.Reader, d *document) {
	bad := rd.Faults().Bad()
	d.job.TakeDefaults(rd.Given)
	for _, p := range d.job.Validate() {
		if bad && (unread[p.Code] || p.Code == "date.bad" && d.job.Date == "" && p.Path == "date") {
			continue
		}
		rd.AddAt(p.Path, Fault{Code: p.Code, Where: p.Where, Message: p.Message, Remedy: p.Remedy, Warning: p.Warning})
	}
	// The zone is looked up only where the machine has the list of zones at all.
	if zone := d.job.Site.TimeZone; zone != "" && rd.Given("site.time_zone") {
		_, here := time.LoadLocation("Europe/London")
		if _, err := time.LoadLocation(zone); err != nil && here == nil {
			rd.AddAt("site.time_zone", Fault{Code: "site.time_zone", Where: "site", Message: fmt.Sprintf("time zone %q is not known", zone),
				Remedy: "Write an IANA name such as Europe/London"})
		}
	}
}

// document is the file: its version and the job. A file with one deck may hold it
// under deck, one with several under decks.
type document struct {
	version int
	job     roof.Job
}
