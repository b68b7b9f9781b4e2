package document

import (
	"time"

	"gelwright/drawing"
	"gelwright/scene/pdf"
)

// WeekSheet is a week on one sheet of A4, as PDF. first is the Monday of the week: the file bears that date, never the clock's, so that
// the same week is the same file.
func WeekSheet(w *drawing.Week, first time.Time) ([]byte, error) {
	s, err := drawing.WeekSheet(w)
	if err != nil {
		return nil, err
	}
	return pdf.Bytes(first, s.Scene.Title, w.Firm, s.Scene)
}
