package margin

import (
	"context"
	"strings"

	"gelwright/desk"
	"gelwright/survey"
)

// SurveyAsk is a walk as it was called, and lengths besides: "A-C=7.88".
type SurveyAsk struct {
	Walk    string   `json:"walk"`
	Lengths []string `json:"lengths"`
}

// Surveyed is how well a tape survey closes. Trouble is what is wrong with it and Doubt what is open; each is followed by
// what would help.
type Surveyed struct {
	// Walk as it may be called again.
	Walk    string           `json:"walk"`
	Corners []SurveyedCorner `json:"corners"`
	Closes  bool             `json:"closes"`
	// GapMM is how far the walk, drawn as it was called, misses its start; −1 where a side or a turn is not known.
	GapMM         float64 `json:"gap_mm"`
	WorstErrorMM  float64 `json:"worst_error_mm"`
	Trouble       string  `json:"trouble" said:"yes"`
	TroubleRemedy string  `json:"trouble_remedy" said:"yes"`
	Doubt         string  `json:"doubt" said:"yes"`
	DoubtRemedy   string  `json:"doubt_remedy" said:"yes"`
	// Blunder is what most likely went wrong; null where the tape closes, or nothing can be named.
	Blunder *SurveyedBlunder `json:"blunder"`
	// Readings are what the tape said, each with what the adjustment makes of it.
	Readings []SurveyedReading `json:"readings"`
	// Wanted are lengths worth measuring, the most useful first.
	Wanted []survey.Wanted `json:"wanted"`
}

// SurveyedCorner lies at x, y, m, give or take ErrorMM (one standard error).
type SurveyedCorner struct {
	Name    string  `json:"name"`
	X       float64 `json:"x"`
	Y       float64 `json:"y"`
	ErrorMM float64 `json:"error_mm"`
}

// SurveyedReading is one length, m, or angle, °, as read and as adjusted.
type SurveyedReading struct {
	Name     string         `json:"name"`
	Angle    bool           `json:"angle"`
	Value    float64        `json:"value"`
	Adjusted float64        `json:"adjusted"`
	Suspect  bool           `json:"suspect"`
	Checked  survey.Checked `json:"checked"`
}

// SurveyedBlunder is the likeliest misreading. Readings are those that explain the misclosure equally well, the likeliest
// first; Instead is what that one would have to read, m or °; Slip the usual slip it looks like, or empty; Explains is
// false where the tape would not close without it either.
type SurveyedBlunder struct {
	Readings []BlunderReading `json:"readings"`
	Instead  float64          `json:"instead"`
	Slip     string           `json:"slip" said:"yes"`
	Explains bool             `json:"explains"`
}

// BlunderReading is a reading under suspicion: a length, m, between two corners, or an angle, °, at From, To then empty.
type BlunderReading struct {
	Name  string  `json:"name"`
	From  string  `json:"from"`
	To    string  `json:"to"`
	Angle bool    `json:"angle"`
	Value float64 `json:"value"`
}

// blunderOf is the suspect of a survey that does not close.
func blunderOf(r *survey.Result) *SurveyedBlunder {
	if r.Closes || r.Suspect == nil {
		return nil
	}
	b := &SurveyedBlunder{Readings: []BlunderReading{}, Instead: r.Suspect.Instead, Slip: r.Suspect.Slip, Explains: r.Suspect.Explains}
	for _, i := range r.Suspect.Measurements {
		m := &r.Measured[i]
		from, to, _ := strings.Cut(strings.TrimPrefix(m.Name, "corner "), "–")
		b.Readings = append(b.Readings, BlunderReading{m.Name, from, to, m.Angle, m.Value})
	}
	return b
}

func surveyed(ctx context.Context, q SurveyAsk) (any, error) {
	d, err := desk.Walked(ctx, q.Walk, q.Lengths)
	if err != nil {
		return nil, err
	}
	r := &d.Result
	out := Surveyed{Walk: d.Walk, Closes: r.Closes, GapMM: -1, WorstErrorMM: 1000 * r.WorstErrorM(), Corners: []SurveyedCorner{},
		Readings: []SurveyedReading{}, Wanted: append([]survey.Wanted{}, r.Wanted...)}
	if d.GapM != nil {
		out.GapMM = 1000 * *d.GapM
	}
	out.Trouble, out.TroubleRemedy = r.Trouble()
	out.Doubt, out.DoubtRemedy = r.Doubt()
	out.Blunder = blunderOf(r)
	at := r.Outline()
	for i, c := range r.Corners {
		out.Corners = append(out.Corners, SurveyedCorner{c.Name, at[i].X, at[i].Y, 1000 * c.ErrorM})
	}
	suspect := map[int]bool{}
	if r.Suspect != nil {
		for _, i := range r.Suspect.Measurements {
			suspect[i] = true
		}
	}
	for i, m := range r.Measured {
		if m.Assumed {
			continue
		}
		out.Readings = append(out.Readings, SurveyedReading{m.Name, m.Angle, m.Value, m.Adjusted, suspect[i], m.Checked})
	}
	return out, nil
}
