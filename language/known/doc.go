// Package known has the forms of the languages that papers can be made in besides English, by their codes.
package known

import (
	"gelwright/language"
	"gelwright/language/german"
)

// Catalogue returns the forms of a language; nil for English and for a code that is not among language.Codes.
func Catalogue(code string) *language.Catalogue {
	if code == "de" {
		return german.Catalogue()
	}
	return nil
}
