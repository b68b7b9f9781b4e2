package document

import (
	"fmt"
	"time"

	"gelwright/desk"
	"gelwright/drawing"
	"gelwright/programme"
	"gelwright/scene"
	"gelwright/scene/pdf"
	"gelwright/scene/png"
	"gelwright/scene/svg"
)

// phonePixelsPerMM is how finely a phone's picture is painted.
const phonePixelsPerMM = 10

// WetDays gives a job pack the sheets of a programme's wet days and the fortnight; the
// fortnight alone where no day will do (best is nil).
func WetDays(o *desk.Outlook, best *programme.Plan) More {
	if best == nil {
		return More{Count: 1, Make: func(first, of int) ([]*drawing.Sheet, error) {
			s, err := fortnightOf(o, first, of)
			return []*drawing.Sheet{s}, err
		}}
	}
	return More{Count: len(wetDays(o, best)) + 1, Make: func(first, of int) ([]*drawing.Sheet, error) {
		sheets, _, err := picturesOf(o, best, time.Time{}, first, of)
		return sheets, err
	}}
}

// WetDayFiles draws the days of a programme and the fortnight, each sheet as PDF and SVG
// and each day as a picture for the phone. A now that is not zero is marked.
func WetDayFiles(o *desk.Outlook, p *programme.Plan, now time.Time) ([]File, error) {
	sheets, phones, err := picturesOf(o, p, now, 1, len(wetDays(o, p))+1)
	if err != nil {
		return nil, err
	}
	var files []File
	for i, s := range sheets {
		name := fmt.Sprintf("wet-day-%d", i+1)
		if i == len(sheets)-1 {
			name = "fortnight"
		}
		raw, err := pdf.Bytes(stampOf(o, p), s.Scene.Title, s.Scene)
		if err != nil {
			return nil, err
		}
		files = append(files, File{Name: name + ".pdf", Content: raw}, File{Name: name + ".svg", Content: svg.Bytes(s.Scene, svg.Options{})})
	}
	for i, s := range phones {
		raw, err := png.Bytes(s, phonePixelsPerMM)
		if err != nil {
			return nil, err
		}
		files = append(files, File{Name: fmt.Sprintf("wet-day-%d-phone.png", i+1), Content: raw})
	}
	return files, nil
}

// mostDays is how many wet days get a sheet of their own.
const mostDays = 10

// wetDays lists the days of a plan that have wet work, each by its first slot.
func wetDays(o *desk.Outlook, p *programme.Plan) []time.Time {
	var days []time.Time
	seen := map[string]bool{}
	for _, s := range p.Slots {
		key := s.Start.In(o.Zone()).Format("2006-01-02")
		if !s.Kind.Wet() || seen[key] || len(days) >= mostDays {
			continue
		}
		seen[key] = true
		days = append(days, s.Start)
	}
	return days
}

// picturesOf draws a sheet and a phone picture for each day with wet work, and the
// fortnight as the last sheet; the first bears number first of of.
func picturesOf(o *desk.Outlook, p *programme.Plan, now time.Time, first, of int) ([]*drawing.Sheet, []*scene.Scene, error) {
	var sheets []*drawing.Sheet
	var phones []*scene.Scene
	for i, start := range wetDays(o, p) {
		d, err := o.DayOf(p, start)
		if err != nil {
			return nil, nil, err
		}
		d.Now = now
		s, err := drawing.DaySheet(drawing.TitleOf(&o.Job, "The day: "+d.From.In(o.Zone()).Format("Monday 2 January"), first+i, of), d)
		if err != nil {
			return nil, nil, err
		}
		sheets = append(sheets, s)
		phones = append(phones, drawing.DayPhone(o.Job.Name, d))
	}
	f, err := fortnightOf(o, first+len(sheets), of)
	if err != nil {
		return nil, nil, err
	}
	return append(sheets, f), phones, nil
}

// fortnightOf draws laminating and top-coating hours side by side.
func fortnightOf(o *desk.Outlook, sheet, of int) (*drawing.Sheet, error) {
	var rows []drawing.Outlook
	for _, kind := range []programme.Kind{programme.Laminate, programme.TopCoat} {
		for i, s := range o.Work.Stages {
			if s.Kind != kind {
				continue
			}
			hours, err := o.Hours(i)
			if err != nil {
				return nil, err
			}
			rows = append(rows, drawing.Outlook{Work: string(kind), Hours: hours})
			break
		}
	}
	return drawing.Fortnight(drawing.TitleOf(&o.Job, "Fortnight: go, wait, no-go by the hour", sheet, of), rows, o.Zone())
}
