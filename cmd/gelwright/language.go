package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"gelwright/language"
	"gelwright/roof"
)

// addLanguage adds --language.
func addLanguage(f *pflag.FlagSet, at *string) {
	f.StringVar(at, "language", "", "language of the papers, "+strings.Join(language.Codes(), " or ")+", in place of the file's")
}

// speak sets the language of a job's papers where one is asked for.
func speak(j *roof.Job, code string) error {
	if code == "" {
		return nil
	}
	if !slices.Contains(language.Codes(), code) {
		return coded{exitUsage, fmt.Errorf("--language: papers are not made in %q: take %s", code, strings.Join(language.Codes(), " or "))}
	}
	j.Site.Language = code
	return nil
}
