package cure

import (
	"errors"

	"gelwright/check"
)

// The reasons of a Refusal, for errors.Is.
var (
	ErrTooCold = errors.New("too cold")
	ErrTooHot  = errors.New("too hot")
	// ErrUnderDose and ErrOverDose: catalyst outside what the resin takes.
	ErrUnderDose = errors.New("too little catalyst")
	ErrOverDose  = errors.New("too much catalyst")
	// ErrNotThatLong: no allowed dose leaves the minutes asked for.
	ErrNotThatLong = errors.New("no dose gives that long")
	// ErrNoAim: no dose meets both the usable time and the deadline.
	ErrNoAim = errors.New("no dose does both")
)

// Refusal is an answer that cannot be given safely: why, and what would help.
type Refusal struct {
	// Reason is one of the errors above.
	Reason error
	// Finding says what was asked and where the limit lies, with figures.
	Finding string
	// Remedies, best first.
	Remedies []check.Remedy
}

func (r *Refusal) Error() string {
	text := "cure: " + r.Reason.Error() + ": " + r.Finding
	for i, m := range r.Remedies {
		if i == 0 {
			text += ": "
		} else {
			text += "; or "
		}
		text += m.Text
	}
	return text
}

// CupFirst reports whether nothing but the range of brands is in the way: a test cup is then
// the first of the remedies.
func (r *Refusal) CupFirst() bool { return len(r.Remedies) > 0 && r.Remedies[0].Text == timeACup }

// Unwrap returns the reason.
func (r *Refusal) Unwrap() error { return r.Reason }

func refuse(reason error, finding string, remedies ...string) *Refusal {
	r := &Refusal{Reason: reason, Finding: finding}
	for _, text := range remedies {
		r.Remedies = append(r.Remedies, remedy(text))
	}
	return r
}

func remedy(text string) check.Remedy { return check.Remedy{Text: text} }
