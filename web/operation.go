package web

import (
	"context"
	"errors"
	"maps"
	"mime"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"
)

// answerer is what answers a row of the table: a plain handler for what is no part of the API, or an operation.
type answerer interface {
	under(s *Server, api huma.API, row route) handler
}

func (h handler) under(*Server, huma.API, route) handler { return h }

// operation is a row of the API: a handler typed by what is asked and what is answered. From these types it is read, checked,
// written and described.
type operation struct {
	id, about string
	register  func(s *Server, api huma.API, op huma.Operation)
	more      []detail
}

// detail is what an operation's description says beyond its types.
type detail func(*huma.Operation)

// tell makes an operation. Its id names it in clients that are made from the description; about is one sentence for people.
// I and O are structs: of I the fields with the tags path, query and header and the field Body are read, of O those with the tag
// header and the field Body are written.
func tell[I, O any](id, about string, answer func(context.Context, *I) (*O, error), more ...detail) operation {
	return operation{id, about, func(s *Server, api huma.API, op huma.Operation) {
		huma.Register(api, op, func(ctx context.Context, in *I) (*O, error) {
			out, err := answer(ctx, in)
			if err != nil {
				return nil, s.told(ctx, err)
			}
			return out, nil
		})
		if op.Metadata[emptyBody] != nil {
			op.RequestBody.Required = false // the library takes every body that it hands on as it came for one that must be there
		}
	}, more}
}

// emptyBody marks an operation whose body may have no bytes.
const emptyBody = "empty body"

// mayBeEmpty says that a body of no bytes is one too: an empty firm file or forecast takes the one before away.
func mayBeEmpty(o *huma.Operation) {
	o.RequestBody = &huma.RequestBody{}
	o.Metadata = map[string]any{emptyBody: true}
}

// begins says that something is begun, which is answered with 201.
func begins(o *huma.Operation) { o.DefaultStatus = http.StatusCreated }

// gives says of which kinds the files are that are answered; of one kind, it may be any of them.
func gives(media ...string) detail {
	return func(o *huma.Operation) {
		r := &huma.Response{Description: "The file", Content: map[string]*huma.MediaType{}}
		for _, m := range media {
			kind, _, _ := strings.Cut(m, ";")
			r.Content[kind] = &huma.MediaType{} // bytes, or JSON that has a description of its own
		}
		o.Responses["200"] = r
	}
}

// reads says of which kind the body is that is read as it comes.
func reads(media, about string) detail {
	return func(o *huma.Operation) {
		o.RequestBody = &huma.RequestBody{Required: true, Description: about,
			Content: map[string]*huma.MediaType{media: {Schema: binary()}}}
	}
}

// also says of an answer without a body that it may be given.
func also(status, about string) detail {
	return func(o *huma.Operation) { o.Responses[status] = &huma.Response{Description: about} }
}

// maybeKept says that what is answered may have been kept too, which is told by 201.
func maybeKept(o *huma.Operation) {
	o.Responses["201"] = &huma.Response{Description: "The same, and it was kept"}
}

// unchanged says that whoever has it already is told so.
var unchanged = also("304", "It is what the asker has")

// binary is the bytes of a file.
func binary() *huma.Schema { return &huma.Schema{Type: huma.TypeString, Format: "binary"} }

// under puts an operation into the description and gives its handler.
func (o operation) under(s *Server, api huma.API, row route) handler {
	op := huma.Operation{OperationID: o.id, Method: row.method, Path: strings.ReplaceAll(row.pattern, "...}", "}"), Summary: o.about,
		Tags: []string{nounOf(row.pattern)}, MaxBodyBytes: -1, BodyReadTimeout: bodyTimeout, Responses: map[string]*huma.Response{},
		Extensions: map[string]any{rightExtension: string(row.who), changesExtension: row.changes}}
	for _, d := range o.more {
		d(&op)
	}
	op.Responses["default"] = &huma.Response{Description: "Why there is no answer", Content: map[string]*huma.MediaType{
		problemMedia: {Schema: new(problem).Schema(api.OpenAPI().Components.Schemas)}}}
	o.register(s, api, op)
	at := api.Adapter().(*taken)
	described, answer := at.op, at.answer
	if one, more := described.Responses["200"], described.Responses["201"]; one != nil && more != nil {
		more.Content, more.Headers = one.Content, one.Headers
	}
	return func(w http.ResponseWriter, r *http.Request) error {
		if err := readable(described, r); err != nil {
			return err
		}
		w.Header().Set("Cache-Control", "no-store")
		answer(humago.NewContext(described, r, w))
		return nil
	}
}

// nounOf is what a path is about.
func nounOf(pattern string) string {
	noun, _, _ := strings.Cut(strings.TrimPrefix(pattern, apiPath), "/")
	return noun
}

// taken hands the handler of an operation to whoever registers it: the mux is built from the table alone.
type taken struct {
	http.Handler
	op     *huma.Operation
	answer func(huma.Context)
}

// Handle takes a handler.
func (t *taken) Handle(op *huma.Operation, answer func(huma.Context)) { t.op, t.answer = op, answer }

// readable refuses what no operation reads: a query that is none or says a thing twice, a body that is not said to be JSON.
func readable(op *huma.Operation, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return asked("query", "?", "Write it as name=value&name=value", "it cannot be read: %v", err)
	}
	for _, name := range slices.Sorted(maps.Keys(values)) {
		if len(values[name]) > 1 {
			return asked("query", name, "Leave all but one out", "it is given more than once")
		}
	}
	if op.RequestBody == nil || op.RequestBody.Content[jsonMedia] == nil {
		return nil
	}
	if media, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || media != jsonMedia {
		return &problem{status: http.StatusUnsupportedMediaType, Code: "media", Place: "Content-Type", Message: "the body is not said to be JSON",
			Remedy: "Send it as application/json"}
	}
	return nil
}

// told is an error as it is answered; those of the program itself are logged, and on a network a stranger is told of them where the
// log has it and nothing of why (ASVS 5.0 16.5.1).
func (s *Server) told(ctx context.Context, err error) *problem {
	p := problemOf(err)
	gone := ctx.Err() != nil && errors.Is(err, context.Canceled) // nobody waits for it any more
	if p.status >= http.StatusInternalServerError && !gone {
		s.failed(ctx, "no answer", "error", err)
		if s.Network != nil && p.Code == failedCode {
			return &problem{status: http.StatusInternalServerError, Code: p.Code, Place: "program", Message: "the program could not do it",
				Remedy: "Ask again; if it stays so, tell whoever looks after the program: its log has it as " + noteOf(ctx).id}
		}
	}
	return p
}

// misasked is why a question does not fit its description.
func misasked(_ huma.Context, status int, message string, errs ...error) huma.StatusError {
	var long *http.MaxBytesError
	if err := errors.Join(errs...); errors.As(err, &long) || status >= http.StatusInternalServerError && err != nil {
		return problemOf(err)
	}
	p := &problem{status: http.StatusBadRequest, Code: "body", Place: "body", Message: message,
		Remedy: "Send what " + descriptionPath + " says of this question"}
	for _, err := range errs {
		var d *huma.ErrorDetail
		if !errors.As(err, &d) {
			continue
		}
		p.Place, p.Message = d.Location, d.Message
		switch at, name, _ := strings.Cut(d.Location, "."); at {
		case "query":
			p.Code, p.Place = "query", name
		case "path":
			p.status, p.Code, p.Place = http.StatusNotFound, "unknown", name
		case "header":
			p.Code, p.Place = "header", name
		}
		break
	}
	return p
}
