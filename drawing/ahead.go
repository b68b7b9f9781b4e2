package drawing

import (
	"gelwright/programme"
	"gelwright/roof"
)

// AheadSheets draws the days to come: a sheet for each day with wet work, and the
// fortnight as the last, all for the office; there are none where nothing is said of the days
// ahead.
func AheadSheets(job *roof.Job, a *programme.Ahead) ([]*Sheet, error) {
	if a == nil {
		return nil, nil
	}
	var sheets []*Sheet
	for _, d := range a.Days {
		s, err := DaySheet(TitleOf(job, "The day: "+d.From.In(a.Zone).Format("Monday 2 January")), d)
		if err != nil {
			return nil, err
		}
		s.Office = true
		sheets = append(sheets, s)
	}
	f, err := Fortnight(TitleOf(job, "Fortnight: go, wait, no-go by the hour"), a.Fortnight, a.Zone)
	if err != nil {
		return nil, err
	}
	f.Office = true
	return append(sheets, f), nil
}
