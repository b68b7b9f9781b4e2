package web

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
)

// What stands in the description of the API.
const (
	// descriptionPath is where it is served.
	descriptionPath = apiPath + "openapi.json"
	// apiVersion goes up by one when something that was answered is answered otherwise.
	apiVersion = "1"
	// rightExtension names the right that an operation asks for, changesExtension says whether it changes anything.
	rightExtension   = "x-right"
	changesExtension = "x-changes"

	// tokenScheme names how a program says who asks.
	tokenScheme = "token"

	jsonMedia    = "application/json"
	problemMedia = "application/problem+json"
)

// The library's defaults are ours: its refusals are told as all others are, and a list is never null.
func init() {
	huma.NewErrorWithContext = misasked
	huma.NewError = func(status int, message string, errs ...error) huma.StatusError {
		return misasked(nil, status, message, errs...)
	}
	huma.DefaultArrayNullable = false
}

// newAPI is an API without an operation yet.
func newAPI() huma.API {
	config := huma.DefaultConfig("gelwright", apiVersion)
	config.Info.Description = "Jobs of flat roofs laid by hand: their documents, files, plans and papers. " +
		"What is refused is told as application/problem+json, with the part of the question and what to do."
	config.Components.SecuritySchemes = map[string]*huma.SecurityScheme{tokenScheme: {Type: "http", Scheme: "bearer",
		Description: "A token of somebody who has an account here; on this computer alone, without accounts, none is asked for"}}
	config.Security = []map[string][]string{{tokenScheme: {}}, {}}
	config.OpenAPIPath, config.DocsPath, config.SchemasPath, config.CreateHooks = "", "", "", nil
	config.RejectUnknownQueryParameters = true
	return huma.NewAPI(config, &taken{Handler: http.NotFoundHandler()})
}

// Description is the API's description, OpenAPI 3.1 as JSON, made from the table of routes.
func Description() ([]byte, error) {
	s, api := &Server{}, newAPI()
	for _, row := range s.routes() {
		row.answer.under(s, api, row)
	}
	raw, err := json.Marshal(api.OpenAPI())
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = json.Indent(&b, raw, "", "  ")
	return b.Bytes(), err
}

// describe gives the description.
func (s *Server) describe(_ context.Context, q *Seen) (*fileAnswer, error) {
	return q.file(sent{name: "openapi.json", media: jsonMedia, content: s.description}), nil
}
