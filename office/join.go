package office

import (
	"encoding/json"
	"slices"
)

// FieldDifference is a field in which two changes of one sheet part, as JSON: before both, mine and theirs.
type FieldDifference struct {
	Field  string          `json:"field"`
	Was    json.RawMessage `json:"was"`
	Mine   json.RawMessage `json:"mine"`
	Theirs json.RawMessage `json:"theirs"`
	// Both changed it; otherwise one alone did, and joining takes that.
	Both bool `json:"both"`
}

// Joined is what two changes of one sheet make together.
type Joined struct {
	// Differs are the fields in which mine is not theirs, by name.
	Differs []FieldDifference `json:"differs"`
	// Sheet has the change of each field that one alone made; of those that both made it has theirs.
	Sheet json.RawMessage `json:"sheet"`
}

// Join joins two changes of a sheet, field by field. was is the version that both were made from; the three are of one kind.
func Join(was, mine, theirs Sheet) Joined {
	a, b, c := fields(was), fields(mine), fields(theirs)
	out := Joined{Differs: []FieldDifference{}}
	var names []string
	for name := range c {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		if string(b[name]) == string(c[name]) {
			continue
		}
		d := FieldDifference{Field: name, Was: a[name], Mine: b[name], Theirs: c[name]}
		theyLeft := string(a[name]) == string(c[name])
		d.Both = !theyLeft && string(a[name]) != string(b[name])
		out.Differs = append(out.Differs, d)
		if theyLeft {
			c[name] = b[name]
		}
	}
	raw, err := json.Marshal(c)
	if err != nil {
		panic(err) // it is made of JSON
	}
	out.Sheet = raw
	return out
}

// fields are those of a sheet as JSON.
func fields(s Sheet) map[string]json.RawMessage {
	out := map[string]json.RawMessage{}
	if s == nil {
		return out
	}
	if err := json.Unmarshal(Written(s), &out); err != nil {
		panic(err) // it was just written
	}
	return out
}
