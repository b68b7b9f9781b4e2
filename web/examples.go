package web

import (
	"io/fs"
	"net/http"
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
func (s *Server) examples(w http.ResponseWriter, _ *http.Request) error {
	rows, err := listExamples()
	if err != nil {
		return err
	}
	answerJSON(w, http.StatusOK, map[string]any{"examples": rows})
	return nil
}

// example gives the text of an example roof file.
func (s *Server) example(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("name")
	rows, err := listExamples()
	if err != nil {
		return err
	}
	for _, row := range rows {
		if row.Name == name {
			raw, err := examples.Files.ReadFile(name + exampleSuffix)
			if err != nil {
				return err
			}
			answerFile(w, r, sent{name: name + exampleSuffix, media: yamlMedia, content: raw})
			return nil
		}
	}
	return unknown(name, "GET /api/examples names them all", "there is no such example")
}
