package web

import (
	"context"
	"io/fs"
	"strings"
	"sync"

	"gelwright/examples"
	"gelwright/rooffile"
)

// exampleRow is an example as it is listed.
type exampleRow struct {
	Name  string `json:"name"`
	Title string `json:"title"`
}

type examplesAnswer struct {
	Body exampleList
}

type exampleList struct {
	Examples []exampleRow `json:"examples"`
	Paging
}

// yamlMedia is the type of a roof file.
const yamlMedia = "text/yaml; charset=utf-8"

// exampleSuffix is what names an example roof's file, before which stands its name.
const exampleSuffix = ".yaml"

// listExamples lists the example roofs by their files' names; they are read once.
var listExamples = sync.OnceValues(func() ([]exampleRow, error) {
	names, err := fs.Glob(examples.Files, "r*"+exampleSuffix)
	if err != nil {
		return nil, err
	}
	var out []exampleRow
	for _, name := range names {
		raw, err := examples.Files.ReadFile(name)
		if err != nil {
			return nil, err
		}
		job, _, err := rooffile.Read(name, raw)
		if err != nil {
			return nil, err
		}
		out = append(out, exampleRow{Name: strings.TrimSuffix(name, exampleSuffix), Title: job.Name})
	}
	return out, nil
})

// examples lists the example roofs.
func (s *Server) examples(_ context.Context, q *Whole) (*examplesAnswer, error) {
	rows, err := listExamples()
	if err != nil {
		return nil, err
	}
	lines, pages := part(*q, rows)
	return &examplesAnswer{exampleList{lines, pages}}, nil
}

type exampleAsked struct {
	Seen
	Name string `path:"name" doc:"Its name, as it is listed"`
}

// example gives the text of an example roof file.
func (s *Server) example(_ context.Context, q *exampleAsked) (*fileAnswer, error) {
	name := q.Name
	rows, err := listExamples()
	if err != nil {
		return nil, err
	}
	for _, row := range rows {
		if row.Name == name {
			raw, err := examples.Files.ReadFile(name + exampleSuffix)
			if err != nil {
				return nil, err
			}
			return q.file(sent{name: name + exampleSuffix, media: yamlMedia, content: raw}), nil
		}
	}
	return nil, unknown(name, "GET /api/examples names them all", "there is no such example")
}
