package web

import (
	"net/http"
	"slices"

	"gelwright/people"
	"gelwright/store"
)

// The longest bodies but files: a document with the change that led to it, and a few words.
const (
	mostQuestion = 2*store.MostDocumentBytes + mostWords
	mostWords    = 16 << 10
	mostDays     = 2 << 20 // 400 days with their notes
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
	// answer is an operation of the API (tell), or a plain handler of what is none.
	answer answerer
}

// routes is everything that can be asked; the mux and the API's description are built from it alone.
func (s *Server) routes() []route {
	return slices.Concat(s.peopleRoutes(), s.officeRows(), s.workRoutes(), []route{
		{"GET", "/{name...}", people.Anyone, false, 0, handler(s.page)},
		{"GET", "/{$}", people.ReadJobs, false, 0, handler(s.page)},
		{"GET", "/healthz", people.Anyone, false, 0, handler(s.health)},
		{"GET", "/" + officeName, people.ReadJobs, false, 0, handler(s.officePage)},
		{"GET", "/favicon.ico", people.Anyone, false, 0, handler(s.icon)},
		{"GET", "/v/{version}/{name...}", people.Anyone, false, 0, handler(s.pageOf)},
		{"GET", descriptionPath, people.Anyone, false, 0, tell("describe", "Give this description", s.describe, gives(jsonMedia), unchanged)},
		{"GET", "/api/version", people.Anyone, false, 0, tell("version", "Say what program answers", s.version)},
		{"GET", "/api/me", people.Anyone, false, 0, tell("me", "Say who asks, and what they may do", s.me)},
		{"GET", "/api/jobs", people.ReadJobs, false, 0, tell("listJobs", "List jobs, the one changed last first", s.listJobs)},
		{"POST", "/api/jobs", people.ChangeJobs, true, mostQuestion, tell("newJob", "Begin a job", s.newJob, begins)},
		{"POST", "/api/jobs/import", people.ChangeJobs, true, store.MostImportBytes,
			tell("importJob", "Take a job in that was exported", s.importJob, begins, reads(zipMedia, "What an export gave"))},
		{"GET", "/api/jobs/{id}", people.ReadJobs, false, 0, tell("job", "Give a job with its newest document", s.job, unchanged)},
		{"POST", "/api/jobs/{id}/copy", people.ChangeJobs, true, mostWords,
			tell("copyJob", "Begin a job with what another holds", s.copyJob, begins)},
		{"POST", "/api/jobs/{id}/retire", people.ChangeJobs, true, mostWords,
			tell("retire", "Take a job out of the list, or bring it back", s.retire)},
		{"GET", "/api/jobs/{id}/export", people.SeePrices, false, 0,
			tell("exportJob", "Give a job whole, as one file", s.export, gives(zipMedia))},
		{"GET", "/api/jobs/{id}/alternatives", people.ReadJobs, false, 0,
			tell("alternatives", "Hold the alternatives of one survey side by side", s.alternatives)},
		{"GET", "/api/jobs/{id}/states", people.ReadJobs, false, 0, tell("listStates", "List the states of a job, newest first", s.history)},
		{"POST", "/api/jobs/{id}/states", people.ChangeJobs, true, mostQuestion, tell("newState", "Add a state to a job", s.newStateOf, begins)},
		{"POST", "/api/jobs/{id}/join", people.ChangeJobs, true, mostQuestion,
			tell("join", "Join a document that was made from an earlier state with the newest one", s.joinState, maybeKept)},
		{"GET", "/api/jobs/{id}/states/{seq}", people.ReadJobs, false, 0, tell("state", "Give a state with its document", s.state, unchanged)},
		{"POST", "/api/jobs/{id}/restore", people.ChangeJobs, true, mostWords,
			tell("restore", "Bring an earlier state back as a new one", s.restore, begins)},
		{"GET", "/api/jobs/{id}/files", people.ReadJobs, false, 0, tell("listFiles", "List the files and photos of a job", s.listFiles)},
		{"GET", "/api/jobs/{id}/files/{name}", people.ReadJobs, false, 0, tell("file", "Give a file that was kept", s.readFile, gives("*/*"),
			also("204", "A job without a firm file or a forecast of its own"), unchanged)},
		{"PUT", "/api/jobs/{id}/files/{name}", people.Record, true, store.MostFileBytes,
			tell("putFile", "Keep a file or photo under a name", s.putFile, begins, mayBeEmpty)},
		{"GET", "/api/jobs/{id}/roof.yaml", people.ReadJobs, false, 0,
			tell("roofFile", "Give the roof of a state as a roof file", s.roofFile, gives(yamlMedia), unchanged)},
		{"GET", "/api/jobs/{id}/onefile.html", people.SeePrices, false, 0,
			tell("oneFile", "Give a job as one page that needs no server", s.oneFile, gives(htmlMedia), unchanged)},
		{"GET", "/api/jobs/{id}/papers", people.ReadJobs, false, 0, tell("listPapers", "List the papers of a state", s.listPapers)},
		{"GET", "/api/jobs/{id}/papers/{name...}", people.ReadJobs, false, 0, tell("paper", "Give a paper of the newest state", s.newestPaper,
			gives("*/*"), also("307", "A page of an earlier state, which has an address of its own"), unchanged)},
		{"GET", "/api/jobs/{id}/states/{seq}/papers/{name...}", people.ReadJobs, false, 0,
			tell("paperOfState", "Give a paper of a state", s.paperOf, gives("*/*"), unchanged)},
		{"GET", "/api/examples", people.ReadJobs, false, 0, tell("listExamples", "List the example roofs", s.examples)},
		{"GET", "/api/examples/{name}", people.ReadJobs, false, 0,
			tell("example", "Give the text of an example roof file", s.example, gives(yamlMedia), unchanged)},
	})
}

// mux is the table as a handler.
func (s *Server) mux() *http.ServeMux {
	m, api := http.NewServeMux(), newAPI()
	for _, r := range s.routes() {
		m.Handle(r.method+" "+r.pattern, s.guarded(r, r.answer.under(s, api, r)))
	}
	return m
}
