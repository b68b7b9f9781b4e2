package web

import (
	"net/http"

	"gelwright/people"
)

// Ask has somebody ask from now on.
func (s *Server) Ask(by people.Actor) {
	s.known = func(*http.Request) (people.Actor, error) { return by, nil }
}

// Row is a row of the table of routes, for the test that walks it.
type Row struct {
	Method, Pattern string
	Right           string
	Named, Changes  bool
	MostBytes       int64
}

// Table is the table of routes.
func (s *Server) Table() []Row {
	var out []Row
	for _, r := range s.routes() {
		out = append(out, Row{r.method, r.pattern, string(r.who), r.who.Known(), r.changes, r.mostBytes})
	}
	return out
}
