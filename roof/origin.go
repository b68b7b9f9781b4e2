package roof

import (
	"strings"

	"gelwright/working"
)

// Origin is where the values of a job were written: the file, and what was taken because the
// file is silent.
type Origin struct {
	File     string
	Defaults []Default
}

// Origin is where a job's values were written, as far as the fields' names begin with one of
// the prefixes: "spec.".
func (j *Job) Origin(prefixes ...string) Origin {
	o := Origin{File: j.File}
	for _, d := range j.Defaults {
		for _, p := range prefixes {
			if strings.HasPrefix(d.Field, p) {
				o.Defaults = append(o.Defaults, d)
				break
			}
		}
	}
	return o
}

// Place names the file, "roof file" where it has no name.
func (o Origin) Place() string {
	if o.File != "" {
		return o.File
	}
	return "roof file"
}

// Silent reports whether the file does not give a field, and why what was taken was taken.
func (o Origin) Silent(field string) (why string, silent bool) {
	for _, d := range o.Defaults {
		if d.Field == field {
			return d.Why, true
		}
	}
	return "", false
}

// Given is a value as a figure of the roof file, or, where the file is silent, as assumed.
func (o Origin) Given(symbol, name string, v float64, unit, field string) *working.Figure {
	if why, silent := o.Silent(field); silent {
		return working.AssumedFigure(symbol, name, v, unit, field+": "+why)
	}
	return working.GivenFigure(symbol, name, v, unit, o.Place()+", "+field)
}
