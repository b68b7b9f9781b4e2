package people

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"gelwright/store"
)

// Account is a person of the firm who may sign in.
type Account struct {
	ID string // 32 digits 0-9 a-f
	// SignIn is the name that is typed to sign in: small letters, one account's alone, for ever.
	SignIn string
	// Name is how others call him; it stands beside what he does.
	Name string
	Role Role
	Made time.Time
	// Ended says when the account was ended; zero where it lives. An account that has ended is kept: what he did bears his name.
	Ended time.Time
	// Password is the hash of his password (see Hasher); empty where he has none yet.
	Password string
}

// Lives reports whether an account has not ended.
func (a *Account) Lives() bool { return a.Ended.IsZero() }

// Actor is whoever has signed in to an account.
func (a *Account) Actor() Actor { return Actor{ID: a.ID, Name: a.Name, Role: a.Role} }

// mostSignIn is how many letters a sign-in name may have.
const mostSignIn = 60

// SignInName is a sign-in name as it is kept and looked for: without spaces at its ends, in small letters.
func SignInName(typed string) string { return strings.ToLower(strings.TrimSpace(typed)) }

// Check says what of an account cannot be kept.
func (a *Account) Check() error {
	if a.SignIn == "" || a.SignIn != SignInName(a.SignIn) || utf8.RuneCountInString(a.SignIn) > mostSignIn ||
		strings.ContainsFunc(a.SignIn, func(r rune) bool {
			return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("._-@", r)
		}) {
		return refused("sign-in name", "Write it as asha or asha@roofs.example: letters, digits and . _ - @",
			"%.80q cannot be one: it has 1 to %d letters and no spaces", a.SignIn, mostSignIn)
	}
	if err := line("name", a.Name); err != nil {
		return err
	}
	return a.Role.Check()
}

// Check says whether a role is one that an account can have.
func (r Role) Check() error {
	for _, known := range Roles {
		if r == known {
			return nil
		}
	}
	return refused("role", "Give owner, estimator or crew", "%.40q is none", string(r))
}

// line says what is wrong with a text that must be there and stand on one line.
func line(place, text string) error {
	switch {
	case strings.TrimSpace(text) == "":
		return refused(place, "Write it", "it is empty")
	case !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl):
		return refused(place, "Write it on one line", "it holds letters that cannot be read")
	case utf8.RuneCountInString(text) > store.MostText:
		return refused(place, "Shorten it", "it has more than %d letters", store.MostText)
	}
	return nil
}
