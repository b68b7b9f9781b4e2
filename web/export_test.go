package web

import (
	"context"

	"gelwright/drawing"
	"gelwright/people"
)

// Door is where people are let in.
func (s *Server) Door() *people.Door { return s.door }

// Row is a row of the table of routes, for the test that walks it.
type Row struct {
	Method, Pattern string
	Right           string
	Who             people.Right
	Changes         bool
	MostBytes       int64
}

// Table is the table of routes.
func (s *Server) Table() []Row {
	var out []Row
	for _, r := range s.routes() {
		out = append(out, Row{r.method, r.pattern, string(r.who), r.who, r.changes, r.mostBytes})
	}
	return out
}

// Week is what stands on the sheet of a week.
func (s *Server) Week(ctx context.Context, text string) (*drawing.Week, error) {
	w, _, err := s.week(ctx, text)
	return w, err
}
