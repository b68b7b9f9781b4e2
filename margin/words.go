package margin

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

func itoa(n int) string { return strconv.Itoa(n) }

// upper is a sentence with a large first letter.
func upper(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(string(r)) + s[n:]
}
