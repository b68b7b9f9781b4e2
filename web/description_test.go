package web_test

import (
	"bytes"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/pb33f/libopenapi"
	validator "github.com/pb33f/libopenapi-validator"
	"github.com/pb33f/libopenapi-validator/config"
	"github.com/pb33f/libopenapi/datamodel/high/v3"

	"gelwright/web"
)

// described is the API's description as an independent reader has it.
type described struct {
	validator.Validator
	model *v3.Document
	mu    sync.Mutex // the reader is asked by one test at a time
}

var description = sync.OnceValues(func() (*described, error) {
	raw, err := web.Description()
	if err != nil {
		return nil, err
	}
	document, err := libopenapi.NewDocument(raw)
	if err != nil {
		return nil, err
	}
	model, err := document.BuildV3Model()
	if err != nil {
		return nil, err
	}
	return &described{Validator: validator.NewValidatorFromV3Model(&model.Model, config.WithoutSecurityValidation(),
		config.WithFormatAssertions()), model: &model.Model}, nil
})

// The description is one: valid by the schema of OpenAPI 3.1.
func TestTheDescriptionIsValid(t *testing.T) {
	d, err := description()
	if err != nil {
		t.Fatal(err)
	}
	raw, err := web.Description()
	if err != nil {
		t.Fatal(err)
	}
	document, err := libopenapi.NewDocument(raw)
	if err != nil {
		t.Fatal(err)
	}
	whole, errs := validator.NewValidator(document)
	if len(errs) > 0 {
		t.Fatal(errs)
	}
	if ok, faults := whole.ValidateDocument(); !ok {
		for _, f := range faults {
			t.Errorf("%s: %s", f.Message, f.Reason)
		}
	}
	if d.model.Version != "3.1.0" {
		t.Errorf("it is of OpenAPI %s", d.model.Version)
	}
}

// Each row of the API has its operation, and each operation its row: with the right that is asked for, whether it changes
// anything, a name and a sentence, and what a refusal looks like.
func TestEveryRouteIsDescribed(t *testing.T) {
	d, err := description()
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string]web.Row{}
	for _, row := range serve(t).Table() {
		if strings.HasPrefix(row.Pattern, "/api/") {
			rows[row.Method+" "+strings.ReplaceAll(row.Pattern, "...}", "}")] = row
		}
	}
	ids := map[string]string{}
	for path, item := range d.model.Paths.PathItems.FromOldest() {
		for method, op := range item.GetOperations().FromOldest() {
			name := strings.ToUpper(method) + " " + path
			row, there := rows[name]
			if !there {
				t.Errorf("%s is described and is no route", name)
				continue
			}
			delete(rows, name)
			if other := ids[op.OperationId]; other != "" || op.OperationId == "" {
				t.Errorf("%s and %s are both named %q", name, other, op.OperationId)
			}
			ids[op.OperationId] = name
			if op.Summary == "" || len(op.Tags) != 1 {
				t.Errorf("%s: no sentence says what it is, or no noun", name)
			}
			if right := op.Extensions.GetOrZero("x-right"); right == nil || right.Value != row.Right {
				t.Errorf("%s asks for the right %q and is described with %v", name, row.Right, right)
			}
			if changes := op.Extensions.GetOrZero("x-changes"); changes == nil || (changes.Value == "true") != row.Changes {
				t.Errorf("%s changes something: %v; it is described with %v", name, row.Changes, changes)
			}
			if (op.RequestBody != nil) != (row.MostBytes > 0) {
				t.Errorf("%s: a body is described: %v", name, op.RequestBody != nil)
			}
			holes := 0
			for _, x := range op.Parameters {
				if x.In == "path" && strings.Contains(path, "{"+x.Name+"}") {
					holes++
				}
			}
			if want := strings.Count(path, "{"); holes != want {
				t.Errorf("%s: %d of the %d names in its path are described, so that its handler is told no others", name, holes, want)
			}
			if r := op.Responses.Default; r == nil || r.Content.GetOrZero("application/problem+json") == nil {
				t.Errorf("%s: no refusal is described", name)
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(rows)) {
		t.Errorf("%s is described nowhere", name)
	}
}

// hold holds what was asked and answered against the description: what does not fit it is not done, and every answer fits.
func (d *described) hold(t *testing.T, a ask, head http.Header, g got) {
	t.Helper()
	path, query, _ := strings.Cut(a.path, "?")
	if !strings.HasPrefix(path, "/api/") || g.status == http.StatusMisdirectedRequest || g.status == http.StatusMethodNotAllowed {
		return
	}
	if before, name, there := strings.Cut(path, "/papers/"); there { // a description knows no name with a folder
		path = before + "/papers/" + strings.ReplaceAll(name, "/", "%2F")
	}
	if query != "" {
		path += "?" + query
	}
	r := httptest.NewRequestWithContext(t.Context(), a.method, "http://127.0.0.1"+path, strings.NewReader(a.body))
	r.Header = head.Clone()
	d.mu.Lock()
	defer d.mu.Unlock()
	// Of a file that is kept the reader would look into the bytes, by the kind that they are said to be.
	if fits, faults := d.ValidateHttpRequestSync(r); !fits && g.status < 400 && a.method != http.MethodPut {
		t.Errorf("%s %s is answered with %d and does not fit the description: %v", a.method, a.path, g.status, faults[0])
	}
	r.Body = io.NopCloser(strings.NewReader(a.body))
	answer := &http.Response{StatusCode: g.status, Header: g.head, Body: io.NopCloser(bytes.NewReader(g.body)), Request: r}
	if fits, faults := d.ValidateHttpResponse(r, answer); !fits {
		if strings.Contains(faults[0].Message, "Path") && g.status == http.StatusNotFound {
			return // there is no such path, as it was told
		}
		t.Errorf("%s %s: the answer %d %.300s does not fit the description: %v", a.method, a.path, g.status, g.body, faults[0])
	}
}
