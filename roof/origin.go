package roof

import (
	"slices"
	"strings"

	"gelwright/working"
)

// Origin is where the values of a job were written: the file, and what was taken because the
// file is silent.
type Origin struct {
	File     string
	Defaults []Default
	// Of are what the fields' names begin with that this knows of; none is every field.
	Of []string
}

// Origin is where a job's values were written, as far as the fields' names begin with one of
// the prefixes: "spec.".
func (j *Job) Origin(prefixes ...string) Origin {
	o := Origin{File: j.File, Of: prefixes}
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

// Without is the origin without some fields: a step that does not ask them is not run again
// when they change.
func (o Origin) Without(fields ...string) Origin {
	o.Defaults = slices.DeleteFunc(slices.Clone(o.Defaults), func(d Default) bool { return slices.Contains(fields, d.Field) })
	return o
}

// knows reports whether a field is among those that this knows of.
func (o Origin) knows(field string) bool {
	return len(o.Of) == 0 || slices.ContainsFunc(o.Of, func(p string) bool { return strings.HasPrefix(field, p) })
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

// Source is where a field's value was written: the roof file, the firm's, or nowhere.
func (o Origin) Source(field string) working.Source {
	for _, d := range o.Defaults {
		switch {
		case d.Field != field:
		case d.Firm != "":
			return working.Source{Title: d.Firm, Clause: field, Standing: working.Given}
		default:
			return working.Source{Title: field + ": " + d.Why, Standing: working.Assumed}
		}
	}
	if !o.knows(field) {
		return working.Source{Title: field + ", by whom is not said", Standing: working.Assumed}
	}
	return working.Source{Title: o.Place(), Clause: field, Standing: working.Given}
}

// Given is a value as a figure of the file that gives it, or, where none does, as assumed.
func (o Origin) Given(symbol, name string, v float64, unit, field string) *working.Figure {
	return working.Constant(symbol, name, v, unit, o.Source(field))
}

// Pick puts what was picked in the place of a default, with the reason; a value that the file
// gives stays. The list of defaults given is not changed.
func (j *Job) Pick(field string, at *string, value, why string) {
	for i, d := range j.Defaults {
		if d.Field != field || d.Value == value {
			continue
		}
		*at = value
		j.Defaults = slices.Clone(j.Defaults)
		j.Defaults[i].Value, j.Defaults[i].Why = value, "picked by the plan: "+why
		return
	}
}
