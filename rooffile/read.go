package rooffile

import (
	"fmt"
	"io"

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
		if !rd.Faults().Bad() {
			finish(rd, &d)
		}
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

// finish takes the defaults and checks the whole.
func finish(rd *form.Reader, d *document) {
	d.job.TakeDefaults(rd.Given)
	for _, p := range d.job.Validate() {
		rd.AddAt(p.Path, Fault{Code: p.Code, Where: p.Where, Message: p.Message, Remedy: p.Remedy, Warning: p.Warning})
	}
}

// document is the file: its version and the job. A file with one deck may hold it
// under deck, one with several under decks.
type document struct {
	version int
	job     roof.Job
}
