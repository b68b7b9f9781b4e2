package margin

import (
	"context"

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
	Trouble       string  `json:"trouble"`
	TroubleRemedy string  `json:"trouble_remedy"`
	Doubt         string  `json:"doubt"`
	DoubtRemedy   string  `json:"doubt_remedy"`
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
