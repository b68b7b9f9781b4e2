package forecast

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
)

const (
	// MaxBytes is the largest input read.
	MaxBytes = 32 << 20
	// MaxHours is the longest series: ten years and some days.
	MaxHours = 24 * 3660
	// MaxMembers is the largest ensemble.
	MaxMembers = 200
)

// Error is a fault in a weather file or answer: where, what, and how to mend it.
type Error struct {
	File string
	// Line and Column count from 1; 0 when not known.
	Line, Column int
	Fault        string
	Remedy       string
}

// Error prints "file:line:column: fault. Remedy".
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", e.Line, max(e.Column, 1))
	}
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	b.WriteString(e.Fault)
	if e.Remedy != "" {
		b.WriteString(". " + e.Remedy)
	}
	return b.String()
}

// ErrTooBig is wrapped by the error for an input above MaxBytes.
var ErrTooBig = errors.New("the input is too big")

func checkSize(data []byte, o Options) error {
	if len(data) > MaxBytes {
		return fmt.Errorf("%s: %w: %d bytes. Give at most %d", o.Name, ErrTooBig, len(data), MaxBytes)
	}
	return nil
}

// place turns a byte offset into line and column.
func place(data []byte, offset int64) (line, column int) {
	if offset < 0 {
		return 0, 0
	}
	head := data[:min(int(offset), len(data))]
	line = 1 + bytes.Count(head, []byte{'\n'})
	return line, len(head) - bytes.LastIndexByte(head, '\n')
}

// decode reads JSON into v and turns its faults into ours.
func decode(data []byte, v any, o Options) error {
	err := json.Unmarshal(data, v)
	if err == nil {
		return nil
	}
	e := &Error{File: o.Name, Fault: err.Error(), Remedy: "Fetch the answer again, whole"}
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		e.Line, e.Column = place(data, syntax.Offset-1)
		e.Fault = "the JSON breaks here: " + syntax.Error()
	case errors.As(err, &kind):
		e.Line, e.Column = place(data, kind.Offset-1)
		e.Fault = fmt.Sprintf("%s is %s", strings.TrimPrefix(kind.Field, "metno."), article(kind.Value))
		e.Remedy = "Check that this is the service's answer and not another's"
	}
	return e
}

func article(word string) string {
	if strings.ContainsAny(word[:min(1, len(word))], "aeiou") {
		return "an " + word
	}
	return "a " + word
}

func fault(o Options, path, what, remedy string) error {
	return &Error{File: o.Name, Fault: path + ": " + what, Remedy: remedy}
}
