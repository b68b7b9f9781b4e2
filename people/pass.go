package people

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"time"

	"gelwright/store"
)

// PassKind is what a pass is for.
type PassKind string

// The kinds of passes.
const (
	// Session is a browser that somebody has signed in with.
	Session PassKind = "session"
	// Token lets a program ask the API for somebody.
	Token PassKind = "token"
	// Invitation lets a person choose the password of an account, once.
	Invitation PassKind = "invitation"
	// First lets whoever started the server make the first owner, once.
	First PassKind = "first link"
	// Link shows a customer his job.
	Link PassKind = "link"
	// Ceremony is a passkey that is being made or asked for, once.
	Ceremony PassKind = "ceremony"
)

// Pass lets in whoever has its secret, of which only the hash is kept.
type Pass struct {
	ID   string // by which it is listed and ended; it lets nobody in
	Hash string // of the secret, 64 digits 0-9 a-f
	Kind PassKind
	// Account is whose it is; empty of a link, and of a ceremony of somebody who is not known yet.
	Account string
	// Job is the one that a link shows.
	Job string
	// Role is that of a token, or the account's.
	Role Role
	// Name says what it is in a few words: a device, what a token is for, a customer.
	Name string
	// Note is what a ceremony must remember.
	Note string
	// From is the address for which it was made.
	From string
	// Made, Used last (zero: never), and Ends are times; Ended says when it was ended before (zero: it was not).
	Made, Used, Ends, Ended time.Time
}

// How long passes last. ASVS 7.1.1: a session ends a week after it was used last, and a month after it began in any case: a
// crew's phone lies still over a weekend and not over a holiday.
const (
	sessionIdle     = 7 * 24 * time.Hour
	sessionLasts    = 30 * 24 * time.Hour
	invitationLasts = 7 * 24 * time.Hour // ASVS 6.4.1
	firstLasts      = time.Hour
	ceremonyLasts   = 5 * time.Minute
	mostTokenLasts  = 366 * 24 * time.Hour
	mostLinkLasts   = 2 * 366 * 24 * time.Hour
	// useGrain is how exactly it is kept when a pass was used last: not every look at a page is a change of the store.
	useGrain = 5 * time.Minute
)

// Lives reports whether a pass lets anybody in at a time.
func (p *Pass) Lives(now time.Time) bool {
	if !p.Ended.IsZero() || !now.Before(p.Ends) {
		return false
	}
	return p.Kind != Session || now.Before(p.lastUse().Add(sessionIdle))
}

// lastUse is when a pass was used last, or made.
func (p *Pass) lastUse() time.Time {
	if p.Used.IsZero() {
		return p.Made
	}
	return p.Used
}

// newSecret draws a secret of 256 random bits. ASVS 7.2.3, 6.4.1.
func newSecret() string {
	var b [32]byte
	rand.Read(b[:]) // never fails: crypto/rand ends the program instead
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// HashOf is the hash of a secret, by which a pass is kept and found. A secret has 256 random bits, so that one round is enough
// and none can be guessed from how long a search for its hash takes.
func HashOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// newPass is a pass of a kind and its secret.
func newPass(kind PassKind, made time.Time, lasts time.Duration) (Pass, string) {
	secret := newSecret()
	return Pass{ID: string(store.NewID()), Hash: HashOf(secret), Kind: kind, Made: made, Ends: made.Add(lasts)}, secret
}
