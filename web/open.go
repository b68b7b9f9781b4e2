package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"strings"

	"github.com/goccy/go-yaml"

	"gelwright/rooffile"
	"gelwright/store"
)

// Open keeps a roof file as a job and gives the job's id. The same file is the same job, however often it is opened: the id
// follows from the file's name and text, and what has become of the job since stays as it is.
func (s *Server) Open(ctx context.Context, name string, text []byte) (store.ID, error) {
	roof, _, err := rooffile.Read(name, text)
	if err != nil {
		return "", err
	}
	written, err := rooffile.Write(roof)
	if err != nil {
		return "", err
	}
	raw, err := yaml.YAMLToJSON(written)
	if err != nil {
		return "", err
	}
	document, err := json.Marshal(map[string]json.RawMessage{"roof": raw, "page": []byte("null")})
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256([]byte(name + "\n" + string(text)))
	id := store.ID(hex.EncodeToString(sum[:16]))
	if known, err := s.Jobs.Get(ctx, id); err == nil {
		return known.ID, nil
	} else if store.KindOf(err) != store.Unknown {
		return "", err
	}
	given := GivenState{ID: "opened", What: "opened from " + strings.TrimSpace(lineIn(name)), Document: Document{document}}
	state, err := s.newState(given, somebody, "", "")
	if err != nil {
		return "", err
	}
	j, err := s.Jobs.Create(ctx, store.NewJob{ID: id, First: state})
	return j.ID, err
}

// Address is the page's address where a listener answers, with a job open in it where one is named; scheme is http or https.
func Address(scheme, host string, job store.ID) string {
	if job == "" {
		return scheme + "://" + host + "/"
	}
	return scheme + "://" + host + "/#job=" + string(job)
}
