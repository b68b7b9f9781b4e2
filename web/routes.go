package web

import "net/http"

// caller is who may ask for a route.
type caller int

// here is whoever sits at this computer: the server listens on loopback alone and knows no accounts.
const here caller = iota + 1

// handler answers a request, or says why not.
type handler func(w http.ResponseWriter, r *http.Request) error

// route is one thing that can be asked.
type route struct {
	method, pattern string
	who             caller
	// changes says whether anything is kept that was not: GET never does.
	changes bool
	// mostBytes is the longest body that is read; 0 for none.
	mostBytes int64
	answer    handler
}

// routes is everything that can be asked; the mux is built from it alone.
func (s *Server) routes() []route {
	return []route{
		{"GET", "/{name...}", here, false, 0, s.page},
		{"GET", "/v/{version}/{name...}", here, false, 0, s.pageOf},
		{"GET", "/api/version", here, false, 0, s.version},
		{"GET", "/api/examples", here, false, 0, s.examples},
		{"GET", "/api/examples/{name}", here, false, 0, s.example},
	}
}

// mux is the table as a handler.
func (s *Server) mux() *http.ServeMux {
	m := http.NewServeMux()
	for _, r := range s.routes() {
		m.Handle(r.method+" "+r.pattern, s.guarded(r))
	}
	return m
}
