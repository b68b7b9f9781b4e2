package people

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"net/netip"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"

	"gelwright/store"
)

// Site is where a browser stands that makes or asks for a passkey: a passkey is of one name of a server alone.
type Site struct {
	Name   string // as roofs.example, without its port
	Origin string // as https://roofs.example:8443
}

// relying is a site as the protocol of passkeys (W3C Web Authentication, level 3) knows it.
func (s Site) relying() (*webauthn.WebAuthn, error) {
	if _, err := netip.ParseAddr(s.Name); err == nil {
		return nil, refused("passkey", "Open this page under its name, or sign in with a password",
			"a browser keeps passkeys for names alone, and %s is an address", s.Name)
	}
	return webauthn.New(&webauthn.Config{RPID: s.Name, RPDisplayName: "gelwright", RPOrigins: []string{s.Origin}})
}

// holder is an account as the protocol knows it.
type holder struct {
	a    Account
	keys []Passkey
}

func (h *holder) WebAuthnID() []byte          { return []byte(h.a.ID) }
func (h *holder) WebAuthnName() string        { return h.a.SignIn }
func (h *holder) WebAuthnDisplayName() string { return h.a.Name }

// WebAuthnCredentials are the holder's passkeys; one that cannot be read is none.
func (h *holder) WebAuthnCredentials() []webauthn.Credential {
	var out []webauthn.Credential
	for _, k := range h.keys {
		var c webauthn.Credential
		if json.Unmarshal([]byte(k.Credential), &c) == nil {
			out = append(out, c)
		}
	}
	return out
}

// holderOf reads an account that lives, with its passkeys.
func (d *Door) holderOf(ctx context.Context, account string) (*holder, error) {
	a, err := d.keeper.Account(ctx, account)
	if err == nil && !a.Lives() {
		err = stranger()
	}
	if err != nil {
		return nil, err
	}
	keys, err := d.keeper.Passkeys(ctx, account)
	return &holder{a, keys}, err
}

// begin keeps what a ceremony must remember and gives the secret by which it goes on, in whichever process.
func (d *Door) begin(ctx context.Context, v Visit, account string, session *webauthn.SessionData) (secret string, err error) {
	note, err := json.Marshal(session)
	if err != nil {
		return "", err
	}
	p, secret := newPass(Ceremony, d.now(), ceremonyLasts)
	p.Account, p.Note, p.From = account, string(note), v.From
	return secret, d.keeper.AddPass(ctx, p, Deed{})
}

// goOn ends a ceremony and gives what it must remember: each answer is taken once.
func (d *Door) goOn(ctx context.Context, account, secret string) (webauthn.SessionData, error) {
	var session webauthn.SessionData
	p, _, err := d.living(ctx, Ceremony, secret)
	if err == nil && p.Account != account {
		err = errEnded(Ceremony)
	}
	if err == nil {
		_, err = d.keeper.TakePass(ctx, p.Hash, d.now())
	}
	if store.KindOf(err) == store.Unknown {
		err = errEnded(Ceremony)
	}
	if err != nil {
		return session, err
	}
	return session, json.Unmarshal([]byte(p.Note), &session)
}

// unfit is why an answer of a device does not hold.
func unfit(err error) error {
	var p *protocol.Error
	if errors.As(err, &p) {
		return &Error{Kind: Stranger, Place: "passkey", Found: "what the device answered does not hold (" + p.Type + ")",
			Remedy: "Try again, or sign in with a password"}
	}
	return err
}

// BeginPasskey asks a device for a new passkey of whoever is signed in: the question for the browser, as JSON, and the secret by
// which FinishPasskey goes on.
func (d *Door) BeginPasskey(ctx context.Context, v Visit, at Site, by Actor) (question any, secret string, err error) {
	w, err := at.relying()
	if err != nil {
		return nil, "", err
	}
	h, err := d.holderOf(ctx, by.ID)
	if err != nil {
		return nil, "", err
	}
	creation, session, err := w.BeginRegistration(h, webauthn.WithResidentKeyRequirement(protocol.ResidentKeyRequirementRequired),
		webauthn.WithExclusions(webauthn.Credentials(h.WebAuthnCredentials()).CredentialDescriptors()),
		webauthn.WithAuthenticatorSelection(protocol.AuthenticatorSelection{ResidentKey: protocol.ResidentKeyRequirementRequired,
			UserVerification: protocol.VerificationRequired}))
	if err != nil {
		return nil, "", unfit(err)
	}
	secret, err = d.begin(ctx, v, by.ID, session)
	return creation, secret, err
}

// Answered is what a device answered: the secret with which it was asked, what a new passkey is to be called, and what the browser
// gave, as JSON.
type Answered struct {
	Secret, Name string
	Answer       []byte
}

// FinishPasskey keeps the passkey that a device has made.
func (d *Door) FinishPasskey(ctx context.Context, v Visit, at Site, by Actor, x Answered) error {
	if err := line("name", x.Name); err != nil {
		return err
	}
	w, err := at.relying()
	if err != nil {
		return err
	}
	session, err := d.goOn(ctx, by.ID, x.Secret)
	if err != nil {
		return err
	}
	h, err := d.holderOf(ctx, by.ID)
	if err != nil {
		return err
	}
	parsed, err := protocol.ParseCredentialCreationResponseBytes(x.Answer)
	if err != nil {
		return unfit(err)
	}
	c, err := w.CreateCredential(h, session, parsed)
	if err != nil {
		return unfit(err)
	}
	k, err := keyOf(c, by.ID)
	if err != nil {
		return err
	}
	k.Name, k.Made = x.Name, store.Kept(d.now())
	return d.keeper.AddPasskey(ctx, k, v.deed(d.now(), by, PasskeyAdded, x.Name))
}

// keyOf is a credential as it is kept.
func keyOf(c *webauthn.Credential, account string) (Passkey, error) {
	raw, err := json.Marshal(c)
	return Passkey{ID: base64.RawURLEncoding.EncodeToString(c.ID), Account: account, Credential: string(raw)}, err
}

// BeginPasskeySignIn asks whichever device for a passkey of this site: the question for the browser, and the secret by which
// FinishPasskeySignIn goes on.
func (d *Door) BeginPasskeySignIn(ctx context.Context, v Visit, at Site) (question any, secret string, err error) {
	if err := d.mayTry(ctx, v, "passkey from "+v.From, mostByFrom); err != nil {
		return nil, "", err
	}
	w, err := at.relying()
	if err != nil {
		return nil, "", err
	}
	assertion, session, err := w.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationRequired))
	if err != nil {
		return nil, "", unfit(err)
	}
	secret, err = d.begin(ctx, v, "", session)
	return assertion, secret, err
}

// FinishPasskeySignIn lets in whoever's device has signed.
func (d *Door) FinishPasskeySignIn(ctx context.Context, v Visit, at Site, x Answered) (session string, a Account, err error) {
	w, err := at.relying()
	if err != nil {
		return "", a, err
	}
	remembered, err := d.goOn(ctx, "", x.Secret)
	if err != nil {
		return "", a, err
	}
	parsed, err := protocol.ParseCredentialRequestResponseBytes(x.Answer)
	if err != nil {
		return "", a, unfit(err)
	}
	var h *holder
	_, c, err := w.ValidatePasskeyLogin(func(_, handle []byte) (webauthn.User, error) {
		var err error
		h, err = d.holderOf(ctx, string(handle))
		return h, err
	}, remembered, parsed)
	if err == nil && c.Authenticator.CloneWarning {
		err = protocol.ErrVerification.WithDetails("its counter ran back")
	}
	if err != nil {
		deed := v.deed(d.now(), Actor{}, SignInRefused, "passkey")
		return "", a, errors.Join(d.keeper.AddDeed(ctx, deed, 0), unfit(err))
	}
	k, err := keyOf(c, h.a.ID)
	if err != nil {
		return "", a, err
	}
	k.Used = store.Kept(d.now())
	if err := d.keeper.UsePasskey(ctx, k); err != nil {
		return "", a, err
	}
	session, err = d.letIn(ctx, v, &h.a, "passkey")
	return session, h.a, err
}

// EndPasskey takes a passkey away.
func (d *Door) EndPasskey(ctx context.Context, v Visit, by Actor, id, name string) error {
	return d.keeper.EndPasskey(ctx, by.ID, id, d.now(), v.deed(d.now(), by, PasskeyEnded, name))
}
