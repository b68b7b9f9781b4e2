package people

import (
	"errors"
	"fmt"
	"time"

	"gelwright/store"
)

// Kind says why somebody is not let in, or may not do a thing.
type Kind int

const (
	// Stranger: name and password, passkey, token or link do not fit, have ended or never were. It does not say which.
	Stranger Kind = iota + 1
	// Often: it was tried too often; Error.Wait says when it may be tried again.
	Often
	// Forbidden: it is known who asks, and he may not.
	Forbidden
)

// Error is why somebody is not let in, with what to do.
type Error struct {
	Kind                 Kind
	Place, Found, Remedy string
	// Wait is how long until it may be tried again; of Often alone.
	Wait time.Duration
}

// Error is place, finding and remedy on one line.
func (e *Error) Error() string { return e.Place + ": " + e.Found + ". " + e.Remedy }

// KindOf is the kind of an error of this package, 0 of any other.
func KindOf(err error) Kind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return 0
}

// refused is an error of what was given.
func refused(place, remedy, format string, args ...any) error {
	return &store.Error{Kind: store.Refused, Place: place, Found: fmt.Sprintf(format, args...), Remedy: remedy}
}

// Unknown is the error of an account, pass or passkey that is not kept.
func Unknown(what string) error {
	return &store.Error{Kind: store.Unknown, Place: what, Found: "there is no such " + what, Remedy: "Take it from the list"}
}
