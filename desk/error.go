package desk

import "fmt"

// Kind says what an error means for whoever asked.
type Kind int

const (
	// Asked: the question is wrong; Place names the part of it.
	Asked Kind = iota + 1
	// Faulty: what was given (roof, firm, weather, gels) has faults; Place names the field.
	Faulty
	// No: everything is in order and the answer is no.
	No
)

// Error is a question that has no answer, with the place and the remedy.
type Error struct {
	Kind Kind
	// Place is the part of the question or the field of a file; empty when Found names it.
	Place string
	// Found is what is wrong there, Remedy what to do about it.
	Found, Remedy string
	// Cause is the error underneath, where there is one; Found may then be empty.
	Cause error
}

// Error is place, finding and remedy on one line.
func (e *Error) Error() string {
	text := e.Found
	if text == "" && e.Cause != nil {
		text = e.Cause.Error()
	}
	if e.Place != "" {
		text = e.Place + ": " + text
	}
	if e.Remedy != "" {
		text += ". " + e.Remedy
	}
	return text
}

// Unwrap returns the error underneath.
func (e *Error) Unwrap() error { return e.Cause }

// wrong is an error in a part of the question.
func wrong(place, remedy, format string, args ...any) error {
	return &Error{Kind: Asked, Place: place, Found: fmt.Sprintf(format, args...), Remedy: remedy}
}

// faulty is a fault in a field of what was given.
func faulty(place, remedy, format string, args ...any) error {
	return &Error{Kind: Faulty, Place: place, Found: fmt.Sprintf(format, args...), Remedy: remedy}
}

// as gives an error its kind; no error stays none.
func as(kind Kind, err error) error {
	if err == nil {
		return nil
	}
	return &Error{Kind: kind, Cause: err}
}

// refuse is an answer of no.
func refuse(format string, args ...any) error {
	return &Error{Kind: No, Found: fmt.Sprintf(format, args...)}
}
