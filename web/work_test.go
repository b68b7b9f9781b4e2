package web_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"gelwright/work"
)

// TestPapersAreOrderedAndTheirProgressIsTold has the papers of a job made behind the page, follows them to their end, and takes them.
func TestPapersAreOrderedAndTheirProgressIsTold(t *testing.T) {
	s := serve(t)
	job := s.job("Garage", example(t, "r01-garage")).ID
	path := "/api/jobs/" + job
	g := s.do(ask{method: "POST", path: path + "/papers", body: `{"who":"Asha"}`})
	var line struct{ ID, State, Said, Result, Who, Ended string }
	if err := json.Unmarshal(g.body, &line); err != nil || g.status != http.StatusAccepted || line.State != "waiting" || line.Who != "Asha" ||
		g.head.Get("Location") != "/api/tasks/"+line.ID {
		t.Fatalf("ordered: %d %s at %q (%v)", g.status, g.body, g.head.Get("Location"), err)
	}
	w, err := s.Work.Start(t.Context(), work.Settings{Version: "of the test"})
	if err != nil {
		t.Fatal(err)
	}
	defer w.Stop(t.Context())
	for line.Ended == "" {
		s.get(g.head.Get("Location"), &line)
		time.Sleep(5 * time.Millisecond)
	}
	if line.State != "done" || !strings.HasPrefix(line.Result, path+"/files/papers-1-") {
		t.Fatalf("in the end: %+v", line)
	}
	got := s.get(line.Result, nil)
	z, err := zip.NewReader(bytes.NewReader(got.body), int64(len(got.body)))
	if err != nil || len(z.File) < 10 {
		t.Errorf("what came of it: %d bytes (%v)", len(got.body), err)
	}
	var list struct {
		Work  []struct{ ID string }
		Total int
	}
	if s.get("/api/tasks?about="+job, &list); list.Total != 1 || list.Work[0].ID != line.ID {
		t.Errorf("listed: %+v", list)
	}
	if s.get("/api/tasks?open=true", &list); list.Total != 0 {
		t.Errorf("still open: %+v", list)
	}
	// Money stands in the papers: the crew, who may read the job's files, may not have these.
	s.refusedAs(staffOf(s, job).as("c", "GET", line.Result, ""), http.StatusForbidden, "right")
}

// TestAnOrderIsCalledOff calls off, by its address, work that waits; it is told so, and cannot be called off again.
func TestAnOrderIsCalledOff(t *testing.T) {
	s := serve(t)
	job := s.job("Garage", example(t, "r01-garage")).ID
	g := s.do(ask{method: "POST", path: "/api/jobs/" + job + "/papers", body: `{}`})
	at := g.head.Get("Location")
	var line struct{ ID, State, Ended string }
	off := s.do(ask{method: "POST", path: at + "/cancel", body: `{}`})
	if err := json.Unmarshal(off.body, &line); err != nil || off.status != http.StatusOK || line.State != "cancelled" || line.Ended == "" {
		t.Fatalf("called off: %d %s (%v)", off.status, off.body, err)
	}
	if s.get(at, &line); line.State != "cancelled" {
		t.Errorf("it is told as %q", line.State)
	}
}
