package main

import (
	"encoding/json"
	"fmt"
	"io"
)

// printJSON prints a value as JSON.
func printJSON(w io.Writer, v any) error {
	var raw []byte
	var err error
	if p, is := v.(interface{ Text() ([]byte, error) }); is {
		raw, err = p.Text()
	} else {
		raw, err = json.MarshalIndent(v, "", " ")
	}
	if err != nil {
		return err
	}
	_, err = fmt.Fprintln(w, string(raw))
	return err
}

// printer writes lines and keeps the first error.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format+"\n", args...)
	}
}

// count is a number of things in words.
func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
