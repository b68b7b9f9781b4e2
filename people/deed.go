package people

import "time"

// DeedKind is what was done.
type DeedKind string

// The kinds of deeds that are kept.
const (
	SignedIn        DeedKind = "signed in"
	SignInRefused   DeedKind = "sign-in refused"
	SignInStopped   DeedKind = "sign-in stopped for a while"
	SignedOut       DeedKind = "signed out"
	SessionEnded    DeedKind = "session ended"
	PasswordChanged DeedKind = "password changed"
	AccountMade     DeedKind = "account made"
	AccountEnded    DeedKind = "account ended"
	RoleChanged     DeedKind = "role changed"
	Invited         DeedKind = "invited"
	PasskeyAdded    DeedKind = "passkey added"
	PasskeyEnded    DeedKind = "passkey taken away"
	TokenMade       DeedKind = "token made"
	TokenUsed       DeedKind = "token used for the first time"
	TokenEnded      DeedKind = "token ended"
	LinkMade        DeedKind = "customer's link made"
	LinkUsed        DeedKind = "customer's link opened for the first time"
	LinkEnded       DeedKind = "customer's link ended"
	PhotoShown      DeedKind = "photo shown to the customer"
	PhotoHidden     DeedKind = "photo hidden from the customer"
	JobChanged      DeedKind = "job changed"
	FileKept        DeedKind = "file kept"
	OfficeChanged   DeedKind = "office changed"
)

// Deed is something that was done, by whom, when and from where. No secret and no password is ever part of one, nor a name to
// sign in with that is nobody's: it may be a password in the wrong field.
type Deed struct {
	// Seq counts from 1 on in the order in which deeds were kept; it may have gaps.
	Seq  int64     `json:"seq"`
	When time.Time `json:"when"`
	Kind DeedKind  `json:"kind"`
	// By is the account of who did it, ByName his name then; ByName alone of a customer, of this computer and of nobody.
	By     string `json:"by,omitempty"`
	ByName string `json:"by_name"`
	// About is to whom or what: a person's name, a role, a device, a token's name.
	About string `json:"about,omitempty"`
	// Job is the one that it was done to.
	Job string `json:"job,omitempty"`
	// From is the address of who did it, Device his browser in words.
	From   string `json:"from,omitempty"`
	Device string `json:"device,omitempty"`
}

// Visit is from where somebody asks.
type Visit struct {
	From   string // address without its port
	Device string // browser and system in words
}

// deed is what an actor does on a visit.
func (v Visit) deed(when time.Time, by Actor, kind DeedKind, about string) Deed {
	return Deed{When: when, Kind: kind, By: by.ID, ByName: by.Name, About: about, From: v.From, Device: v.Device}
}
