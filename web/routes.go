package web

import (
	"net/http"

	"gelwright/store"
)

// The longest bodies but files: a document with the change that led to it, and a few words.
const (
	mostQuestion = 2*store.MostDocumentBytes + mostWords
	mostWords    = 16 << 10
)

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
		{"GET", "/favicon.ico", here, false, 0, s.icon},
		{"GET", "/v/{version}/{name...}", here, false, 0, s.pageOf},
		{"GET", "/api/version", here, false, 0, s.version},
		{"GET", "/api/jobs", here, false, 0, s.listJobs},
		{"POST", "/api/jobs", here, true, mostQuestion, s.newJob},
		{"POST", "/api/jobs/import", here, true, store.MostImportBytes, s.importJob},
		{"GET", "/api/jobs/{id}", here, false, 0, s.job},
		{"POST", "/api/jobs/{id}/copy", here, true, mostWords, s.copyJob},
		{"POST", "/api/jobs/{id}/retire", here, true, mostWords, s.retire},
		{"GET", "/api/jobs/{id}/export", here, false, 0, s.export},
		{"GET", "/api/jobs/{id}/alternatives", here, false, 0, s.alternatives},
		{"GET", "/api/jobs/{id}/states", here, false, 0, s.history},
		{"POST", "/api/jobs/{id}/states", here, true, mostQuestion, s.newStateOf},
		{"GET", "/api/jobs/{id}/states/{seq}", here, false, 0, s.state},
		{"POST", "/api/jobs/{id}/restore", here, true, mostWords, s.restore},
		{"GET", "/api/jobs/{id}/files", here, false, 0, s.listFiles},
		{"GET", "/api/jobs/{id}/files/{name}", here, false, 0, s.readFile},
		{"PUT", "/api/jobs/{id}/files/{name}", here, true, store.MostFileBytes, s.putFile},
		{"GET", "/api/jobs/{id}/roof.yaml", here, false, 0, s.roofFile},
		{"GET", "/api/jobs/{id}/onefile.html", here, false, 0, s.oneFile},
		{"GET", "/api/jobs/{id}/papers", here, false, 0, s.listPapers},
		{"GET", "/api/jobs/{id}/papers/{name...}", here, false, 0, s.paper},
		{"GET", "/api/jobs/{id}/states/{seq}/papers/{name...}", here, false, 0, s.paper},
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
