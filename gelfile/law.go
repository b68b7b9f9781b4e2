package gelfile

import (
	"encoding/json"
	"errors"
	"fmt"

	"gelwright/cure"
)

// Law is a learned gel law as it is kept in a file.
type Law struct {
	Version  int          `json:"version"`
	ResinKey string       `json:"resin"`
	Gel      cure.Gel     `json:"gel"`
	Learned  cure.Learned `json:"learned"`
}

// Version of the law's form.
const Version = 1

// ReadLaw reads a learned law; name stands before what is wrong with it.
func ReadLaw(name string, raw []byte) (*Law, error) {
	var g Law
	if err := json.Unmarshal(raw, &g); err != nil {
		if bad := new(json.UnmarshalTypeError); errors.As(err, &bad) {
			err = fmt.Errorf("%s of %q stands where it cannot", bad.Value, bad.Field)
		}
		return nil, fmt.Errorf("%s: not a gel law (%w): write one with 'gelwright learn LOG.csv --json'", name, err)
	}
	if g.Version != Version || g.ResinKey == "" {
		return nil, fmt.Errorf("%s: version %d of a gel law for %q: this program reads version %d: "+
			"write it anew with 'gelwright learn LOG.csv --json'", name, g.Version, g.ResinKey, Version)
	}
	if err := g.Gel.Check(); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return &g, nil
}
