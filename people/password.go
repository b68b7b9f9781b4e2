package people

import (
	_ "embed"
	"strings"
	"unicode/utf8"
)

//go:embed commonest.txt
var commonestText string

// commonest are the passwords that are tried first by whoever guesses: ASVS 6.2.4 asks for 3,000 of them.
var commonest = func() map[string]bool {
	out := map[string]bool{}
	for word := range strings.Lines(commonestText) {
		if word = strings.TrimSuffix(word, "\n"); !strings.HasPrefix(word, "#") {
			out[word] = true
		}
	}
	return out
}()

// Limits of a password, in letters. The longest is refused aloud and never cut off: ASVS 6.2.8, 6.2.9.
const (
	leastPassword = 8 // ASVS 6.2.1
	mostPassword  = 256
)

// CheckPassword says why a password cannot be taken for an account: it is too short, among the commonest, or the account's own
// names. Any letters and spaces may stand in it, and none must: ASVS 6.2.5, 6.2.11.
func CheckPassword(password string, a *Account) error {
	letters := utf8.RuneCountInString(password)
	small := strings.ToLower(password)
	const remedy = "Take four or five words that do not belong together"
	switch {
	case !utf8.ValidString(password):
		return refused("password", "Type it anew", "it holds letters that cannot be read")
	case letters < leastPassword:
		return refused("password", remedy, "it has %d letters, and %d are the least", letters, leastPassword)
	case letters > mostPassword:
		return refused("password", "Shorten it", "it has %d letters, and %d are the most", letters, mostPassword)
	case commonest[small]:
		return refused("password", remedy, "it is one of those that are guessed first")
	case small == a.SignIn || small == strings.ToLower(a.Name) || strings.Trim(small, string([]rune(small)[:1])) == "":
		return refused("password", remedy, "it is the name of the account, or one letter again and again")
	}
	return nil
}
