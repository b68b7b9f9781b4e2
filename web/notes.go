package web

import (
	"net/http"
	"strings"
	"time"

	"gelwright/people"
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

// noteChange keeps that a job was changed. What is done to accounts keeps its own deeds.
func (s *Server) noteChange(r *http.Request, row route) {
	switch row.who {
	case people.ChangeJobs, people.Record, people.PlanDays:
	default:
		return
	}
	a := askingOf(r.Context())
	deed := people.Deed{When: s.Now(), Kind: people.JobChanged, By: a.actor.ID, ByName: a.actor.Name, Job: r.PathValue("id"),
		From: a.visit.From, Device: a.visit.Device}
	if o, told := row.answer.(operation); told {
		deed.About = o.about
	}
	if err := s.People.AddDeed(r.Context(), deed, changesNoted); err != nil {
		s.failed(r.Context(), "a deed was not kept", "error", err)
	}
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
