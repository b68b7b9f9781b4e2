package words

import (
	"strings"
	"unicode"
)

// What breaks a line, and what is not seen, besides the letters of control and direction.
const (
	breaks = "\n\r\u0085\u2028\u2029"
	unseen = "\u00ad\u200b\u2060\ufeff"
)

// Illegible says what in a text would not be seen, or would turn what stands beside it, on paper or
// on a screen, and how to mend it; "" where nothing would. lines allows line breaks.
func Illegible(s string, lines bool) (message, remedy string) {
	for _, r := range s {
		switch {
		case r == '\n' && lines:
		case strings.ContainsRune(breaks, r):
			return "the text holds a line break", "Write it on one line"
		case unicode.IsControl(r) || r == unicode.ReplacementChar:
			return "the text holds control characters", "Remove them"
		case unicode.Is(unicode.Bidi_Control, r):
			return "the text holds a mark that turns the direction of writing", "Remove it: write the text anew rather than copy it"
		case strings.ContainsRune(unseen, r):
			return "the text holds a character that is not seen", "Remove it: write the text anew rather than copy it"
		}
	}
	return "", ""
}
