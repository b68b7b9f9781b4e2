package web

import (
	"net/http"

	"gelwright/people"
	"gelwright/store"
)

// The longest bodies but files: a document with the change that led to it, and a few words.
const (
	mostQuestion = 2*store.MostDocumentBytes + mostWords
	mostWords    = 16 << 10
)

// handler answers a request, or says why not.
type handler func(w http.ResponseWriter, r *http.Request) error

// route is one thing that can be asked.
type route struct {
	method, pattern string
	// who is the right that whoever asks must have.
	who people.Right
	// changes says whether anything is kept that was not: GET never does.
	changes bool
	// mostBytes is the longest body that is read; 0 for none.
	mostBytes int64
	answer    handler
}

// routes is everything that can be asked; the mux is built from it alone.
func (s *Server) routes() []route {
	return []route{
		{"GET", "/{name...}", people.Anyone, false, 0, s.page},
		{"GET", "/{$}", people.ReadJobs, false, 0, s.page},
		{"GET", "/favicon.ico", people.Anyone, false, 0, s.icon},
		{"GET", "/v/{version}/{name...}", people.Anyone, false, 0, s.pageOf},
		{"GET", "/api/version", people.Anyone, false, 0, s.version},
		{"GET", "/api/me", people.Anyone, false, 0, s.me},
		{"GET", "/api/jobs", people.ReadJobs, false, 0, s.listJobs},
		{"POST", "/api/jobs", people.ChangeJobs, true, mostQuestion, s.newJob},
		{"POST", "/api/jobs/import", people.ChangeJobs, true, store.MostImportBytes, s.importJob},
		{"GET", "/api/jobs/{id}", people.ReadJobs, false, 0, s.job},
		{"POST", "/api/jobs/{id}/copy", people.ChangeJobs, true, mostWords, s.copyJob},
		{"POST", "/api/jobs/{id}/retire", people.ChangeJobs, true, mostWords, s.retire},
		{"GET", "/api/jobs/{id}/export", people.SeePrices, false, 0, s.export},
		{"GET", "/api/jobs/{id}/alternatives", people.ReadJobs, false, 0, s.alternatives},
		{"GET", "/api/jobs/{id}/states", people.ReadJobs, false, 0, s.history},
		{"POST", "/api/jobs/{id}/states", people.ChangeJobs, true, mostQuestion, s.newStateOf},
		{"GET", "/api/jobs/{id}/states/{seq}", people.ReadJobs, false, 0, s.state},
		{"POST", "/api/jobs/{id}/restore", people.ChangeJobs, true, mostWords, s.restore},
		{"GET", "/api/jobs/{id}/files", people.ReadJobs, false, 0, s.listFiles},
		{"GET", "/api/jobs/{id}/files/{name}", people.ReadJobs, false, 0, s.readFile},
		{"PUT", "/api/jobs/{id}/files/{name}", people.Record, true, store.MostFileBytes, s.putFile},
		{"GET", "/api/jobs/{id}/roof.yaml", people.ReadJobs, false, 0, s.roofFile},
		{"GET", "/api/jobs/{id}/onefile.html", people.SeePrices, false, 0, s.oneFile},
		{"GET", "/api/jobs/{id}/papers", people.ReadJobs, false, 0, s.listPapers},
		{"GET", "/api/jobs/{id}/papers/{name...}", people.ReadJobs, false, 0, s.paper},
		{"GET", "/api/jobs/{id}/states/{seq}/papers/{name...}", people.ReadJobs, false, 0, s.paper},
		{"GET", "/api/examples", people.ReadJobs, false, 0, s.examples},
		{"GET", "/api/examples/{name}", people.ReadJobs, false, 0, s.example},
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
