package web

import (
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"gelwright/store"
)

// readJSON reads the body into a value, whose fields are all that may stand in it.
func readJSON(r *http.Request, value any) error {
	if media, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || media != "application/json" {
		return &problem{status: http.StatusUnsupportedMediaType, Code: "media", Place: "Content-Type", Message: "the body is not said to be JSON",
			Remedy: "Send it as application/json"}
	}
	d := json.NewDecoder(r.Body)
	d.DisallowUnknownFields()
	err := d.Decode(value)
	if err == nil {
		if _, err = d.Token(); errors.Is(err, io.EOF) {
			return nil
		}
		if err == nil {
			err = errors.New("more follows after its end")
		}
	}
	var long *http.MaxBytesError
	if errors.As(err, &long) {
		return err
	}
	return asked("body", "body", "Send one JSON object with the fields of this question", "it cannot be read: %s",
		strings.TrimPrefix(err.Error(), "json: "))
}

// asks are what stands behind the question mark of an address; what is not named is refused.
type asks struct {
	of  url.Values
	err error
}

// asksOf reads what stands behind the question mark, where only these names may stand.
func asksOf(r *http.Request, names ...string) *asks {
	a := &asks{}
	if a.of, a.err = url.ParseQuery(r.URL.RawQuery); a.err != nil {
		a.err = asked("query", "?", "Write it as name=value&name=value", "it cannot be read: %v", a.err)
	}
	known := map[string]bool{}
	for _, n := range names {
		known[n] = true
	}
	for name, values := range a.of {
		switch {
		case !known[name]:
			a.fail(name, "it is not asked for here")
		case len(values) > 1:
			a.fail(name, "it is given more than once")
		}
	}
	return a
}

func (a *asks) fail(name, why string) {
	if a.err == nil {
		a.err = asked("query", name, "Leave it out", "%s", why)
	}
}

// text is a value; empty where it is not given.
func (a *asks) text(name string) string { return a.of.Get(name) }

// number is a whole number from 0 on; 0 where it is not given.
func (a *asks) number(name string) int {
	text := a.of.Get(name)
	if text == "" {
		return 0
	}
	n, err := strconv.ParseUint(text, 10, 31)
	if err != nil {
		a.fail(name, strconv.Quote(text)+" is no whole number from 0 on")
	}
	return int(n)
}

// yes reports whether a value is given as 1.
func (a *asks) yes(name string) bool { return a.of.Get(name) == "1" }

// jobID is the job that a path names.
func jobID(r *http.Request) store.ID { return store.ID(r.PathValue("id")) }

// seqOf is the number of a state that a path names.
func seqOf(r *http.Request) (int, error) {
	n, err := strconv.ParseUint(r.PathValue("seq"), 10, 31)
	if err != nil || n == 0 {
		return 0, unknown(r.PathValue("seq"), "States count from 1: GET …/states lists them", "there is no such state")
	}
	return int(n), nil
}
