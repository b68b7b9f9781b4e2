package main

import (
	"fmt"
	"io"
	"time"

	"gelwright/store"
)

// minute is how a time of a job is printed, in UTC.
func minute(t time.Time) string { return t.UTC().Format("2006-01-02 15:04") }

// shortID is the beginning of an id by which a person names a job.
func shortID(id store.ID) string { return string(id[:8]) }

func printJobs(w io.Writer, jobs []store.Job) error {
	o := &printer{w: w}
	if len(jobs) == 0 {
		o.line("no job is found")
	}
	for i := range jobs {
		o.line("%s  %s  %5d  %s", shortID(jobs[i].ID), minute(jobs[i].Changed), jobs[i].Newest, jobName(&jobs[i]))
	}
	return o.err
}

// jobName is title and site, and what else tells a job from others.
func jobName(j *store.Job) string {
	text := j.Title
	if j.Site != "" {
		text += ", " + j.Site
	}
	if j.Parent != "" {
		text += fmt.Sprintf(" (from %s, state %d)", shortID(j.Parent), j.ParentSeq)
	}
	if j.Retired != nil {
		text += " (retired)"
	}
	return text
}

func printImported(w io.Writer, j store.Job) error {
	_, err := fmt.Fprintf(w, "kept as %s: %s, %s\n", shortID(j.ID), jobName(&j), count(j.Newest, "state"))
	return err
}

func printHistory(w io.Writer, j store.Job, entries []store.Entry) error {
	o := &printer{w: w}
	o.line("%s: %s", shortID(j.ID), jobName(&j))
	for i := range entries {
		e := &entries[i]
		what := e.What
		if e.Restored > 0 {
			what += fmt.Sprintf(" (state %d again)", e.Restored)
		}
		o.line("%5d  %s  %s  %s", e.Seq, minute(e.When), e.Who, what)
	}
	return o.err
}
