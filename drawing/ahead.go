package drawing

import (
	"gelwright/programme"
	"gelwright/roof"
)

// AheadSheetCount returns how many sheets AheadSheets will make.
func AheadSheetCount(a *programme.Ahead) int {
	if a == nil {
		return 0
	}
	return len(a.Days) + 1
}

// AheadSheets draws the days to come: a sheet for each day with wet work, and the
// fortnight as the last. The first bears number first of of; there are none where nothing
// is said of the days ahead.
func AheadSheets(job *roof.Job, a *programme.Ahead, first, of int) ([]*Sheet, error) {
	if a == nil {
		return nil, nil
	}
	var sheets []*Sheet
	for i, d := range a.Days {
		s, err := DaySheet(TitleOf(job, "The day: "+d.From.In(a.Zone).Format("Monday 2 January"), first+i, of), d)
		if err != nil {
			return nil, err
		}
		sheets = append(sheets, s)
	}
	f, err := Fortnight(TitleOf(job, "Fortnight: go, wait, no-go by the hour", first+len(sheets), of), a.Fortnight, a.Zone)
	if err != nil {
		return nil, err
	}
	return append(sheets, f), nil
}
