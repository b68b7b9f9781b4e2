package document

import (
	"fmt"
	"time"

	"gelwright/desk"
	"gelwright/drawing"
	"gelwright/programme"
	"gelwright/scene"
	"gelwright/scene/html"
	"gelwright/scene/pdf"
	"gelwright/scene/png"
	"gelwright/scene/reading"
	"gelwright/scene/svg"
)

// phonePixelsPerMM is how finely a phone's picture is painted.
const phonePixelsPerMM = 10

// SheetsPage returns drawings that belong to no book as one page of HTML.
func SheetsPage(title string, sheets ...*scene.Scene) []byte {
	said := (&reading.Node{Kind: reading.Document, Text: title}).Add(&reading.Node{Kind: reading.Title, Text: title})
	for _, s := range sheets {
		said.Add((&reading.Node{Kind: reading.Section}).Add(&reading.Node{Kind: reading.Heading, Text: s.Title},
			&reading.Node{Kind: reading.Figure, Picture: s}))
	}
	return html.Bytes(said, html.Options{Lang: pdf.Language})
}

// WetDayFiles draws the days of a programme and the fortnight, each sheet as PDF and SVG,
// all as a page of HTML, and each day as a picture for the phone. A now that is not zero is marked.
func WetDayFiles(o *desk.Outlook, p *programme.Plan, now time.Time) ([]File, error) {
	a, err := o.Ahead(p, now)
	if err != nil {
		return nil, err
	}
	sheets, err := drawing.AheadSheets(&o.Job, a)
	if err != nil {
		return nil, err
	}
	drawing.Number(sheets)
	var files []File
	var scenes []*scene.Scene
	for i, s := range sheets {
		scenes = append(scenes, s.Scene)
		name := fmt.Sprintf("wet-day-%d", i+1)
		if i == len(sheets)-1 {
			name = "fortnight"
		}
		raw, err := pdf.Bytes(stampOf(o, p), s.Scene.Title, o.Job.PreparedBy, s.Scene)
		if err != nil {
			return nil, err
		}
		files = append(files, File{Name: name + ".pdf", Content: raw}, File{Name: name + ".svg", Content: svg.Bytes(s.Scene, svg.Options{})})
	}
	files = append(files, File{Name: "wet-days.html", Content: SheetsPage(o.Job.Name+", the days ahead", scenes...)})
	for i, d := range a.Days {
		raw, err := png.Bytes(drawing.DayPhone(o.Job.Name, d), phonePixelsPerMM)
		if err != nil {
			return nil, err
		}
		files = append(files, File{Name: fmt.Sprintf("wet-day-%d-phone.png", i+1), Content: raw})
	}
	return files, nil
}
