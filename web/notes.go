package web

import (
	"net/http"
	"strings"
	"time"

	"gelwright/office"
	"gelwright/people"
	"gelwright/store"
)

// noted remembers the status of an answer.
type noted struct {
	http.ResponseWriter
	status int
}

// WriteHeader remembers the status.
func (n *noted) WriteHeader(status int) {
	n.status = status
	n.ResponseWriter.WriteHeader(status)
}

// Unwrap has http.ResponseController reach what is below.
func (n *noted) Unwrap() http.ResponseWriter { return n.ResponseWriter }

// changesNoted is how often it is kept that somebody changes a job: each change stands in the job's own history, with his name.
const changesNoted = 10 * time.Minute

// noteChange keeps that something was changed: a job, once in a while; a file and a sheet of the office each time, by name. What is
// done to accounts keeps its own deeds.
func (s *Server) noteChange(r *http.Request, row route) {
	switch row.who {
	case people.ChangeJobs, people.Record, people.PlanDays:
	default:
		return
	}
	a := askingOf(r.Context())
	deed := people.Deed{When: s.Now(), Kind: people.JobChanged, By: a.actor.ID, ByName: a.actor.Name, From: a.visit.From,
		Device: a.visit.Device}
	if o, told := row.answer.(operation); told {
		deed.About = o.about
	}
	unless := changesNoted
	switch id := r.PathValue("id"); {
	case strings.HasPrefix(row.pattern, jobsPath), strings.HasPrefix(row.pattern, officePath+"jobs/"):
		deed.Job = id
		if row.method == http.MethodPut && r.PathValue("name") != "" {
			deed.Kind, deed.About, unless = people.FileKept, r.PathValue("name"), 0
		}
	case strings.HasPrefix(row.pattern, officePath):
		deed.Kind, unless = people.OfficeChanged, 0
		if about := s.sheetOf(r, row.pattern, &deed); about != "" {
			deed.About += ": " + about
		}
	}
	if err := s.People.AddDeed(r.Context(), deed, unless); err != nil {
		s.failed(r.Context(), "a deed was not kept", "error", err)
	}
}

// Where jobs and the office's sheets are asked for.
const (
	jobsPath   = "/api/jobs/{id}"
	officePath = "/api/office/"
)

// sheetOf says by which name a sheet of the office goes that was changed, and whose job a day is of.
func (s *Server) sheetOf(r *http.Request, pattern string, deed *people.Deed) string {
	many, _, _ := strings.Cut(strings.TrimPrefix(pattern, officePath), "/")
	kind := map[string]office.Kind{"customers": office.KindCustomer, "sites": office.KindSite, "crews": office.KindCrew,
		"days": office.KindDay}[many]
	kept, err := s.Office.Sheet(r.Context(), kind, store.ID(r.PathValue("id")))
	if err != nil {
		return "" // it was put, and is gone: the deed stands without its name
	}
	switch x := kept.Sheet.(type) {
	case office.Customer:
		return x.Name
	case office.Site:
		return x.Name
	case office.Crew:
		return x.Name
	case office.Day:
		deed.Job = string(x.Job)
		return x.Date
	}
	return ""
}

// turnAway refuses who may not ask. A browser that opens a page with nobody signed in is led to where one signs in.
func (s *Server) turnAway(w http.ResponseWriter, r *http.Request, err error) {
	p := problemOf(err)
	if p.status == http.StatusUnauthorized && r.Method == http.MethodGet && !strings.HasPrefix(r.URL.Path, apiPath) {
		w.Header().Set("Cache-Control", "no-store")
		http.Redirect(w, r, signInPath, http.StatusSeeOther)
		return
	}
	s.refuse(w, r, err)
}
