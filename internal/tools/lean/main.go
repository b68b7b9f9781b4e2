// Command lean takes out of a Go program for browsers what serves only to print where it is when it fails: names of functions,
// files and lines. What the program computes, and how fast, stays as it is; a failure is still told, without the calls that led
// to it.
//
//	go run ./internal/tools/lean FILE LEAN
package main

import (
	"fmt"
	"os"
	"slices"
)

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "usage: lean FILE LEAN")
		os.Exit(2)
	}
	if err := run(os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, "lean:", err)
		os.Exit(1)
	}
}

func run(from, to string) error {
	module, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	lean, err := leaner(module)
	if err != nil {
		return err
	}
	return os.WriteFile(to, lean, 0o644)
}

// leaner is a module without what serves only to print where it is.
func leaner(module []byte) ([]byte, error) {
	list, err := sections(module)
	if err != nil {
		return nil, err
	}
	list = slices.DeleteFunc(list, func(s section) bool { return s.id == sectionCustom })
	data := slices.IndexFunc(list, func(s section) bool { return s.id == sectionData })
	if data < 0 {
		return nil, errModule
	}
	memory, err := memoryOf(list[data].body)
	if err != nil {
		return nil, err
	}
	l, err := linesOf(memory)
	if err != nil {
		return nil, err
	}
	if err := l.blank(); err != nil {
		return nil, err
	}
	list[data].body = dataOf(memory)
	return joined(list), nil
}
