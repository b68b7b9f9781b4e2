package store

import "errors"

// Kind says what an error means for whoever asked.
type Kind int

const (
	// Unknown: there is no such job, state or file.
	Unknown Kind = iota + 1
	// Conflict: the job has newer states than the one that this was based on; Error.Newest is its number.
	Conflict
	// Clash: the id or the name stands for something else already.
	Clash
	// Refused: what was given is not as it must be.
	Refused
	// TooLarge: what was given is larger than is kept.
	TooLarge
	// Damaged: a file that was given, or what is kept, is not as it was written.
	Damaged
	// Newer: it was written by a newer release.
	Newer
	// Full: the disk took no more.
	Full
	// Failed: disk or database did not do it; Cause says why.
	Failed
)

// Error is what a store refuses or could not do, with place and remedy.
type Error struct {
	Kind Kind
	// Place is the part of the question or of the file.
	Place string
	// Found is what is wrong there, Remedy what to do about it.
	Found, Remedy string
	// Newest is the number of the job's newest state; of a Conflict alone.
	Newest int
	// Cause is the error underneath, where there is one.
	Cause error
}

// Error is place, finding and remedy on one line.
func (e *Error) Error() string {
	text := e.Found
	if e.Place != "" {
		text = e.Place + ": " + text
	}
	if e.Cause != nil {
		text += ": " + e.Cause.Error()
	}
	if e.Remedy != "" {
		text += ". " + e.Remedy
	}
	return text
}

// Unwrap returns the error underneath.
func (e *Error) Unwrap() error { return e.Cause }

// KindOf is the kind of an error of a store, 0 of any other.
func KindOf(err error) Kind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return 0
}
