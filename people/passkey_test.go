package people_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/descope/virtualwebauthn"

	"gelwright/people"
	"gelwright/store"
)

var roofs = people.Site{Name: "roofs.example", Origin: "https://roofs.example:8443"}

// rp is the site as a device sees it.
var rp = virtualwebauthn.RelyingParty{Name: "gelwright", ID: roofs.Name, Origin: roofs.Origin}

// phone is a device that keeps a passkey of an account.
type phone struct {
	device virtualwebauthn.Authenticator
	key    virtualwebauthn.Credential
}

func newPhone(account string) *phone {
	p := &phone{device: virtualwebauthn.NewAuthenticatorWithOptions(virtualwebauthn.AuthenticatorOptions{UserHandle: []byte(account)}),
		key: virtualwebauthn.NewCredential(virtualwebauthn.KeyTypeEC2)}
	p.device.AddCredential(p.key)
	return p
}

// register makes the passkey known.
func (p *porch) register(x *phone, by people.Account) error {
	p.Helper()
	question, secret, err := p.BeginPasskey(p.Context(), p.visit, roofs, by.Actor())
	p.must(err)
	raw, err := json.Marshal(question)
	p.must(err)
	options, err := virtualwebauthn.ParseAttestationOptions(string(raw))
	p.must(err)
	answer := []byte(virtualwebauthn.CreateAttestationResponse(rp, x.device, x.key, *options))
	if _, err := json.Marshal(json.RawMessage(answer)); err != nil {
		p.Fatal(err)
	}
	err = p.FinishPasskey(p.Context(), p.visit, roofs, by.Actor(), people.Answered{Secret: secret, Name: "phone", Answer: answer})
	p.kind(p.FinishPasskey(p.Context(), p.visit, roofs, by.Actor(), people.Answered{Secret: secret, Name: "again", Answer: answer}), people.Stranger) // each is answered once
	return err
}

// sign is a device's answer to a question for a sign-in.
func (p *porch) sign(x *phone, at virtualwebauthn.RelyingParty) (secret string, answer []byte) {
	p.Helper()
	question, secret, err := p.BeginPasskeySignIn(p.Context(), p.visit, roofs)
	p.must(err)
	raw, err := json.Marshal(question)
	p.must(err)
	options, err := virtualwebauthn.ParseAssertionOptions(string(raw))
	p.must(err)
	return secret, []byte(virtualwebauthn.CreateAssertionResponse(at, x.device, x.key, *options))
}

func TestPasskeysLetIn(t *testing.T) {
	p := newPorch(t)
	bo := p.add("bo", people.Crew)
	x := newPhone(bo.ID)
	p.must(p.register(x, bo))
	if err := p.register(x, bo); store.KindOf(err) != store.Clash {
		t.Errorf("the same passkey again: %v", err)
	}
	secret, answer := p.sign(x, rp)
	session, a, err := p.FinishPasskeySignIn(t.Context(), p.visit, roofs, people.Answered{Secret: secret, Answer: answer})
	p.must(err)
	if a.ID != bo.ID {
		t.Errorf("it lets in %+v", a)
	}
	p.lets(people.Session, session, people.Crew)
	_, _, err = p.FinishPasskeySignIn(t.Context(), p.visit, roofs, people.Answered{Secret: secret, Answer: answer})
	p.kind(err, people.Stranger)
	keys, err := p.keeper.Passkeys(t.Context(), bo.ID)
	p.must(err)
	if len(keys) != 1 || keys[0].Name != "phone" || !keys[0].Used.Equal(p.now) {
		t.Errorf("passkeys of bo: %+v", keys)
	}
	// An answer that was made for another place, another question, by another device or by nobody's.
	other := rp
	other.Origin = "https://roofs.test"
	secret, answer = p.sign(x, other)
	_, _, err = p.FinishPasskeySignIn(t.Context(), p.visit, roofs, people.Answered{Secret: secret, Answer: answer})
	p.kind(err, people.Stranger)
	_, answer = p.sign(x, rp)
	secret, _ = p.sign(x, rp)
	_, _, err = p.FinishPasskeySignIn(t.Context(), p.visit, roofs, people.Answered{Secret: secret, Answer: answer})
	p.kind(err, people.Stranger)
	secret, answer = p.sign(newPhone(bo.ID), rp)
	_, _, err = p.FinishPasskeySignIn(t.Context(), p.visit, roofs, people.Answered{Secret: secret, Answer: answer})
	p.kind(err, people.Stranger)
	secret, _ = p.sign(x, rp)
	_, _, err = p.FinishPasskeySignIn(t.Context(), p.visit, roofs, people.Answered{Secret: secret, Answer: []byte("{}")})
	p.kind(err, people.Stranger)
	// A question lives five minutes.
	secret, answer = p.sign(x, rp)
	p.now = p.now.Add(5 * time.Minute)
	_, _, err = p.FinishPasskeySignIn(t.Context(), p.visit, roofs, people.Answered{Secret: secret, Answer: answer})
	p.kind(err, people.Stranger)
	// Of who has ended, or whose passkey was taken away, it lets nobody in.
	secret, answer = p.sign(x, rp)
	p.must(p.EndPasskey(t.Context(), p.visit, bo.Actor(), keys[0].ID, "phone"))
	_, _, err = p.FinishPasskeySignIn(t.Context(), p.visit, roofs, people.Answered{Secret: secret, Answer: answer})
	p.kind(err, people.Stranger)
	y := newPhone(bo.ID)
	p.must(p.register(y, bo))
	p.must(p.End(t.Context(), p.visit, p.owner.Actor(), bo.ID))
	secret, answer = p.sign(y, rp)
	_, _, err = p.FinishPasskeySignIn(t.Context(), p.visit, roofs, people.Answered{Secret: secret, Answer: answer})
	p.kind(err, people.Stranger)
}

func TestPasskeysAreForNames(t *testing.T) {
	p := newPorch(t)
	for _, name := range []string{"192.0.2.7", "::1"} {
		if _, _, err := p.BeginPasskeySignIn(t.Context(), p.visit, people.Site{Name: name, Origin: "https://" + name}); store.KindOf(err) != store.Refused {
			t.Errorf("%s: %v", name, err)
		}
	}
	a := p.add("bo", people.Crew)
	_, secret, err := p.BeginPasskey(t.Context(), p.visit, roofs, a.Actor())
	p.must(err)
	p.kind(p.FinishPasskey(t.Context(), p.visit, roofs, p.owner.Actor(), people.Answered{Secret: secret, Name: "phone", Answer: nil}), people.Stranger) // another's question
}
