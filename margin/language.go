package margin

import (
	"encoding/json"
	"reflect"

	"gelwright/language"
	"gelwright/language/known"
)

// Spoken is the language of the answers from now on: "en" where the one that was asked for is not known.
type Spoken struct {
	Language string `json:"language"`
}

// speak takes the language of the answers.
func (s *Sheet) speak(q NameAsk) (any, error) {
	s.in = language.NewSpeaker(known.Catalogue(q.Name))
	return &Spoken{Language: s.in.Code()}, nil
}

// saidIn is a copy of an answer in a language: the answer itself may share its texts with the plan.
func saidIn(in *language.Speaker, answer any) (any, error) {
	raw, err := json.Marshal(answer)
	if err != nil {
		return nil, err
	}
	out := reflect.New(reflect.TypeOf(answer))
	if err := json.Unmarshal(raw, out.Interface()); err != nil {
		return nil, err
	}
	said(in, out)
	return out.Elem().Interface(), nil
}

// said puts what a person reads of an answer into a language: the fields that are tagged said:"yes". Keys, paths and places by
// which the page finds things stay as they are.
func said(in *language.Speaker, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			said(in, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			said(in, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Field(i)
			if !v.Type().Field(i).IsExported() {
				continue
			}
			if v.Type().Field(i).Tag.Get("said") == "" {
				said(in, f)
				continue
			}
			sayField(in, f)
		}
	}
}

// sayField says a text, or each of several.
func sayField(in *language.Speaker, f reflect.Value) {
	switch f.Kind() {
	case reflect.String:
		f.SetString(in.Say(f.String()))
	case reflect.Slice:
		for i := range f.Len() {
			sayField(in, f.Index(i))
		}
	}
}
