package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"net/http"
	"reflect"
	"strconv"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"gelwright/desk"
	"gelwright/margin"
	"gelwright/people"
	"gelwright/rooffile"
	"gelwright/store"
)

// problem is why a question has no answer; Problem is how it is told.
type problem struct {
	status int
	// Code names the kind, Place the part of the question, Remedy what to do.
	Code, Place, Message, Remedy string
	// Faults are those of a roof; Newest is the newest state of a job that has moved on.
	Faults []margin.Fault
	Newest *StateLine
	// Differences are what differs between a document that was to be kept and the newest state.
	Differences []difference
	// Overtaken is what is there now of a sheet of the office that was changed meanwhile.
	Overtaken *Overtaken
	// allow is what may be asked there instead, for a method that may not; wait is how long until it may be asked again.
	allow string
	wait  time.Duration
}

func (p *problem) Error() string { return p.Place + ": " + p.Message + ". " + p.Remedy }

// Problem is why a question has no answer, by RFC 9457 (Problem Details for HTTP APIs) with members of our own.
type Problem struct {
	Title  string         `json:"title" doc:"The status in words"`
	Status int            `json:"status" doc:"The status of the answer"`
	Code   string         `json:"code" doc:"The kind of refusal, for programs: unknown, refused, conflict, clash, body, query and others"`
	Place  string         `json:"place" doc:"The part of the question that it is about; may be empty"`
	Detail string         `json:"detail" doc:"What is wrong, for people"`
	Remedy string         `json:"remedy" doc:"What to do about it, for people"`
	Faults []margin.Fault `json:"faults,omitempty" doc:"The faults of a roof, each with its place and remedy"`
	Newest *StateLine     `json:"newest,omitempty" doc:"The newest state of a job that has moved on"`

	Differences []difference `json:"differences,omitempty" doc:"What differs from the newest state: POST …/join joins them"`
	Overtaken   *Overtaken   `json:"overtaken,omitempty" doc:"What is there now of a sheet of the office that was changed meanwhile"`
}

// wire is a problem as it is told.
func (p *problem) wire() Problem {
	return Problem{Title: http.StatusText(p.status), Status: p.status, Code: p.Code, Place: p.Place, Detail: p.Message, Remedy: p.Remedy,
		Faults: p.Faults, Newest: p.Newest, Differences: p.Differences, Overtaken: p.Overtaken}
}

// MarshalJSON writes a problem as it is told.
func (p *problem) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(p.wire())
	return b.Bytes(), err
}

// Schema describes a problem as it is told.
func (p *problem) Schema(r huma.Registry) *huma.Schema {
	return r.Schema(reflect.TypeFor[Problem](), true, "")
}

// GetHeaders is what stands in the head of the answer: RFC 9110, 10.2.1 and 10.2.3; RFC 6750, 3.
func (p *problem) GetHeaders() http.Header {
	h := http.Header{}
	if p.allow != "" {
		h.Set("Allow", p.allow)
	}
	if p.wait > 0 {
		h.Set("Retry-After", strconv.Itoa(int(math.Ceil(p.wait.Seconds()))))
	}
	if p.status == http.StatusUnauthorized {
		h.Set("WWW-Authenticate", "Bearer")
	}
	return h
}

// GetStatus is the status of the answer.
func (p *problem) GetStatus() int { return p.status }

// ContentType is the kind of the answer.
func (p *problem) ContentType(string) string { return problemMedia }

// answerProblem answers with a problem.
func answerProblem(w http.ResponseWriter, p *problem) {
	raw, err := p.MarshalJSON()
	if err != nil {
		panic(err) // the values are this package's own
	}
	maps.Copy(w.Header(), p.GetHeaders())
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Type", problemMedia)
	w.WriteHeader(p.status)
	_, _ = w.Write(raw) // whoever has gone away misses nothing
}

// asked is a problem with the question.
func asked(code, place, remedy, format string, args ...any) error {
	return &problem{status: http.StatusBadRequest, Code: code, Place: place, Message: fmt.Sprintf(format, args...), Remedy: remedy}
}

// unknown is a question for what is not there.
func unknown(place, remedy, format string, args ...any) error {
	return &problem{status: http.StatusNotFound, Code: "unknown", Place: place, Message: fmt.Sprintf(format, args...), Remedy: remedy}
}

// problemOf is an error as it is told.
func problemOf(err error) *problem {
	var p *problem
	var long *http.MaxBytesError
	var kept *store.Error
	var out *people.Error
	var roof rooffile.Faults
	var none *desk.Error
	switch {
	case errors.As(err, &p):
		return p
	case errors.As(err, &out):
		return problemOfPeople(out)
	case errors.As(err, &kept):
		return problemOfStore(kept)
	case errors.As(err, &roof):
		return problemOfRoof(roof)
	case errors.As(err, &none):
		return problemOfPlan(none)
	case errors.As(err, &long):
		return &problem{status: http.StatusRequestEntityTooLarge, Code: "large", Place: "body",
			Message: fmt.Sprintf("it is longer than %d bytes, the most that is read here", long.Limit), Remedy: "Send less at once"}
	}
	return &problem{status: http.StatusInternalServerError, Code: "failed", Message: err.Error(),
		Remedy: "Ask again; if it stays so, start the program anew"}
}

// problemOfPeople tells why somebody is not let in, or may not do a thing.
func problemOfPeople(e *people.Error) *problem {
	p := &problem{status: http.StatusUnauthorized, Code: "sign in", Place: e.Place, Message: e.Found, Remedy: e.Remedy, wait: e.Wait}
	switch e.Kind {
	case people.Often:
		p.status, p.Code = http.StatusTooManyRequests, "often"
	case people.Forbidden:
		p.status, p.Code = http.StatusForbidden, "right"
	}
	return p
}

// failedCode is that of what is the program's own fault.
const failedCode = "failed"

// storeProblems are the codes of a store's refusals and what HTTP calls them.
var storeProblems = map[store.Kind]struct {
	status int
	code   string
}{
	store.Unknown: {http.StatusNotFound, "unknown"}, store.Conflict: {http.StatusConflict, "conflict"},
	store.Clash:   {http.StatusConflict, "clash"},
	store.Refused: {http.StatusBadRequest, "refused"}, store.TooLarge: {http.StatusRequestEntityTooLarge, "large"},
	store.Damaged: {http.StatusUnprocessableEntity, "damaged"}, store.Newer: {http.StatusUnprocessableEntity, "newer"},
	store.Full: {http.StatusInsufficientStorage, "full"}, store.Failed: {http.StatusInternalServerError, failedCode},
}

// problemOfStore is a store's refusal as it is told.
func problemOfStore(e *store.Error) *problem {
	x, known := storeProblems[e.Kind]
	if !known {
		x = storeProblems[store.Failed]
	}
	p := &problem{status: x.status, Code: x.code, Place: e.Place, Message: e.Found, Remedy: e.Remedy}
	if e.Cause != nil {
		p.Message += ": " + e.Cause.Error()
	}
	if p.Remedy == "" {
		p.Remedy = "Look at " + e.Place
	}
	return p
}

// problemOfRoof tells every fault of a roof file, or of the firm's.
func problemOfRoof(list rooffile.Faults) *problem {
	p := &problem{status: http.StatusUnprocessableEntity, Code: "faults", Place: list[0].File,
		Remedy: "Mend each as it says and ask again", Faults: margin.RefusalOf(list).Faults}
	bad := 0
	for _, f := range list {
		if !f.Warning {
			bad++
		}
	}
	p.Message = fmt.Sprintf("%d faults stand in the way of a plan", bad)
	if bad == 1 {
		p.Message = "one fault stands in the way of a plan"
	}
	return p
}

// problemOfPlan tells why a roof without faults has no plan.
func problemOfPlan(e *desk.Error) *problem {
	code := map[desk.Kind]string{desk.Asked: "asked", desk.Faulty: "faulty", desk.No: "no"}[e.Kind]
	p := &problem{status: http.StatusUnprocessableEntity, Code: code, Place: e.Place, Message: e.Found, Remedy: e.Remedy}
	if e.Found == "" && e.Cause != nil {
		p.Message = e.Cause.Error()
	}
	if p.Remedy == "" {
		p.Remedy = "Change what it names and ask again"
	}
	return p
}
