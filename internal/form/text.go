package form

import (
	"strings"

	"gelwright/internal/words"
)

// mostText is the longest text of a field, bytes.
const mostText = 400

// Text is a field of text, at most 400 characters on one line.
func Text[T any](name, doc string, at func(*T) *string, examples ...any) Field[T] {
	return textField(name, doc, false, at, examples)
}

// Remark is a field of text that may run over several lines.
func Remark[T any](name, doc string, at func(*T) *string, examples ...any) Field[T] {
	return textField(name, doc, true, at, examples)
}

func textField[T any](name, doc string, lines bool, at func(*T) *string, examples []any) Field[T] {
	return Field[T]{Name: name, Schema: described(doc, Schema{"type": []any{"string", "number"}}, examples),
		Read: func(v Value, t *T) {
			if s, ok := v.legible(lines); ok {
				*at(t) = s
			}
		},
		Write: func(t *T, path string, o Omit) any { return keep(*at(t), path, o) }}
}

// TextItem makes list entries of text.
func TextItem(what string) Item[string] {
	return Item[string]{What: what, Schema: Schema{"type": []any{"string", "number"}},
		Read: func(v Value) (string, bool) {
			if v.blank() {
				v.Fault("value.empty", "the entry is empty", "Write it, or leave it out")
				return "", false
			}
			return v.legible(false)
		},
		Write: func(s *string, _ string, _ Omit) any { return *s }}
}

// blank reports whether the value is a text of nothing but spaces.
func (v Value) blank() bool {
	if !v.IsText() {
		return false
	}
	s, ok := v.Text()
	return ok && strings.TrimSpace(s) == ""
}

// legible returns a text that looks on paper as it stands in the file.
func (v Value) legible(lines bool) (string, bool) {
	s, ok := v.Text()
	if !ok {
		return "", false
	}
	s = strings.TrimRight(s, "\n") // a block of text ends with a line
	if message, remedy := words.Illegible(s, lines); message != "" {
		v.Fault("value.text", message, remedy)
		return "", false
	}
	if len(s) > mostText {
		v.Fault("value.long", "the text is longer than 400 bytes", "Shorten it")
		return "", false
	}
	return s, true
}
