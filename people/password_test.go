package people_test

import (
	"context"
	"strings"
	"sync"
	"testing"

	"gelwright/people"
)

// ASVS 6.2.1 (eight at least), 6.2.4 (the commonest), 6.2.5 (any letters), 6.2.8 and 6.2.9 (long ones whole), 6.2.11 (own names).
func TestWhichPasswordsAreTaken(t *testing.T) {
	a := people.Account{SignIn: "asha.north", Name: "Asha North-Vale"}
	for password, want := range map[string]string{
		"7letter": "has 7 letters", "": "has 0 letters", "täglich": "has 7 letters", "password": "guessed first", "PassWord": "guessed first",
		"12345678": "guessed first", "qwertyuiop": "guessed first", "asha.north": "name of the account", "Asha North-Vale": "name of the account",
		"ääääääääää": "one letter", "zzzzzzzzz": "one letter", "a\xffbcdefgh": "cannot be read", strings.Repeat("long ", 52): "256 are the most",
		"8letters": "", "        8": "", "ohne Regen täglich ☀": "", "alllowerwords": "", strings.Repeat("ab", 128): "", "asha.north and more": "",
	} {
		err := people.CheckPassword(password, &a)
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%.40q: %v, want %q", password, err, want)
		}
	}
}

// ASVS 11.4.2: argon2id, its parameters kept with each hash, so that dearer ones can follow.
func TestHashes(t *testing.T) {
	h := people.NewHasher(cheap)
	ctx := t.Context()
	one, err := h.Hash(ctx, "felt")
	if err != nil {
		t.Fatal(err)
	}
	two, err := h.Hash(ctx, "felt")
	if err != nil || one == two || !strings.HasPrefix(one, "$argon2id$v=19$m=64,t=1,p=1$") || strings.Count(one, "$") != 5 {
		t.Errorf("hashes %s and %s, %v", one, two, err)
	}
	// From the tests of the reference implementation, phc-winner-argon2, src/test.c: argon2id, t 2, m 2^8, p 1, "password", "somesalt".
	const reference = "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4"
	for _, c := range []struct {
		password, hash string
		want           bool
	}{
		{"felt", one, true}, {"felt", two, true}, {"Felt", one, false}, {"felt ", one, false}, {"", one, false}, {"password", reference, true},
		{"passwore", reference, false}, {"felt", "", false}, {"", "", false}, {"felt", strings.Replace(one, "argon2id", "argon2i", 1), false},
		{"felt", strings.Replace(one, "t=1", "t=0", 1), false}, {"felt", strings.Replace(one, "v=19", "v=16", 1), false},
		{"felt", one[:len(one)-1] + "!", false}, {"felt", one[:strings.LastIndex(one, "$")+1], false}, {"felt", "$$$$$", false},
	} {
		if got, err := h.Fits(ctx, c.password, c.hash); got != c.want || err != nil {
			t.Errorf("%q fits %s: %v, %v", c.password, c.hash, got, err)
		}
	}
	if c := people.UsualCost; c.MemoryKiB != 64<<10 || c.Passes != 3 || c.Lanes != 4 { // RFC 9106, section 4, second choice
		t.Errorf("the usual cost is %+v", c)
	}
}

// Hashes wait for each other, and who has gone away does not wait.
func TestHashesAtOnce(t *testing.T) {
	h := people.NewHasher(people.Cost{MemoryKiB: 1 << 10, Passes: 1, Lanes: 1})
	gone, leave := context.WithCancel(t.Context())
	leave()
	var all sync.WaitGroup
	for range 12 {
		all.Go(func() {
			hash, err := h.Hash(t.Context(), "felt")
			fits, err2 := h.Fits(t.Context(), "felt", hash)
			if err != nil || err2 != nil || !fits {
				t.Errorf("%v %v %v", fits, err, err2)
			}
		})
	}
	all.Wait()
	refusals := 0
	for range 100 { // of two ways that are both open, one is taken by chance
		if _, err := h.Hash(gone, "felt"); err != nil {
			refusals++
		}
	}
	if refusals == 0 {
		t.Error("who has gone away is waited for")
	}
}

func TestDevicesInWords(t *testing.T) {
	for agent, want := range map[string]string{
		"Mozilla/5.0 (Android 14; Mobile; rv:130.0) Gecko/130.0 Firefox/130.0":                                               "Firefox on Android",
		"Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15 Version/17.5 Mobile Safari/604.1":       "Safari on iPhone",
		"Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 Chrome/126.0.0.0 Safari/537.36 Edg/126.0.0.0":          "Edge on Windows",
		"Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) HeadlessChrome/156.0.0.0 Safari/537.36":      "Chrome on Linux",
		"Mozilla/5.0 (Macintosh; Intel Mac OS X 14_5) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/17.5 Safari/605.1.15": "Safari on Mac",
		"Go-http-client/1.1": "a program on another system", "": "another browser on another system",
	} {
		if got := people.DeviceOf(agent); got != want {
			t.Errorf("%s: %q, want %q", agent, got, want)
		}
	}
}
