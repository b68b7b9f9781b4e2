package desk

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"gelwright/roof"
	"gelwright/survey"
	"gelwright/unit"
)

// SurveyDeck is the taped outline of one deck.
type SurveyDeck struct {
	Deck string `json:"deck"`
	*roof.Survey
}

// Walked adjusts a walk round a roof as it was called, and lengths besides, each "A-C=7.88": corners by their letters.
func Walked(ctx context.Context, walk string, lengths []string) (SurveyDeck, error) {
	w, err := survey.Called(walk)
	if err != nil {
		return SurveyDeck{}, &Error{Kind: Asked, Place: "walk", Cause: err}
	}
	tape := survey.Usual()
	s := &roof.Survey{Walk: w.String(), Tolerance: tape}
	for _, text := range lengths {
		m, err := lengthOf(text, tape)
		if err != nil {
			return SurveyDeck{}, &Error{Kind: Asked, Place: "length", Cause: err}
		}
		s.Measured = append(s.Measured, m)
	}
	if gap, known := w.Gap(); known {
		s.GapM = &gap
	}
	s.Result, err = survey.Adjust(ctx, survey.NetworkOf(w, s.Measured, tape), tape, s.Frame)
	if f := (*survey.Fault)(nil); errors.As(err, &f) {
		return SurveyDeck{}, &Error{Kind: Asked, Place: "walk", Found: f.Message, Remedy: f.Remedy}
	}
	return SurveyDeck{"as walked", s}, err
}

func lengthOf(text string, tape survey.Tolerance) (survey.Measurement, error) {
	ends, length, given := strings.Cut(text, "=")
	from, to, parted := strings.Cut(ends, "-")
	if !given || !parted {
		return survey.Measurement{}, fmt.Errorf("%q: write two corners and the length between them, A-C=7.88", text)
	}
	x, err := unit.Parse(length, unit.Metre)
	if err != nil {
		if x, err = unit.Parse(length+"m", unit.Metre); err != nil {
			return survey.Measurement{}, fmt.Errorf("%q: %w", text, err)
		}
	}
	return survey.Measurement{Kind: survey.Length, From: strings.TrimSpace(from), To: strings.TrimSpace(to), Value: x, SD: tape.Of(x)}, nil
}

// Closed says no when a survey does not close.
func Closed(list []SurveyDeck) error {
	for i := range list {
		if message, remedy := list[i].Result.Trouble(); message != "" {
			return &Error{Kind: No, Place: list[i].Deck, Found: message, Remedy: remedy}
		}
	}
	return nil
}
