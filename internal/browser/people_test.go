package browser

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/base64"
	"math/big"
	"net"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"

	"gelwright/people"
	"gelwright/store/sqlite"
	"gelwright/web"
)

// certificate is one of the tests' own, for this computer; the browser is told to trust its key alone (trusted).
var certificate = sync.OnceValue(func() tls.Certificate {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		panic(err) // only of a curve that is none
	}
	about := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(24 * time.Hour),
		DNSNames: []string{"localhost"}, KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}}
	raw, err := x509.CreateCertificate(rand.Reader, about, about, &key.PublicKey, key)
	if err != nil {
		panic(err)
	}
	leaf, err := x509.ParseCertificate(raw)
	if err != nil {
		panic(err)
	}
	return tls.Certificate{Certificate: [][]byte{raw}, PrivateKey: key, Leaf: leaf}
})

// trusted is the key of the tests' certificate as the browser is told it.
func trusted() string {
	sum := sha256.Sum256(certificate().Leaf.RawSubjectPublicKeyInfo)
	return base64.StdEncoding.EncodeToString(sum[:])
}

// firm is a server over HTTPS with accounts, and an invitation of its owner.
func firm(t *testing.T) (address, invitation string) {
	t.Helper()
	needs(t)
	db, err := sqlite.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	s, err := web.New(web.Server{Version: "of the test", Jobs: db, People: db, Accounts: true})
	if err != nil {
		t.Fatal(err)
	}
	on := httptest.NewUnstartedServer(s.Handler())
	on.TLS = &tls.Config{Certificates: []tls.Certificate{certificate()}}
	on.StartTLS()
	t.Cleanup(on.Close)
	door := people.NewDoor(db, time.Now, people.UsualCost)
	a, err := door.Add(t.Context(), people.Visit{}, people.ThisComputer, "asha", "Asha", people.Owner)
	if err != nil {
		t.Fatal(err)
	}
	secret, _, err := door.Invite(t.Context(), people.Visit{}, people.ThisComputer, a.ID)
	if err != nil {
		t.Fatal(err)
	}
	_, port, _ := net.SplitHostPort(on.Listener.Addr().String())
	address = "https://localhost:" + port
	return address, address + "/invitation#" + secret
}

// refusable takes what a browser says of refusals, and of the roof's engine, which is not in this program, for no fault.
func (s *screen) refusable() *screen {
	s.t.Cleanup(func() {
		for _, fault := range s.forgiven() {
			if !strings.Contains(fault, "desk.wasm") && !strings.Contains(fault, "status of 40") {
				s.t.Error(fault)
			}
		}
	})
	return s
}

// goTo opens another page of the same server.
func (s *screen) goTo(path string) {
	s.t.Helper()
	s.do("opening "+path, chromedp.Navigate(s.url+path))
}

// arrived waits until a page of the server is open.
func (s *screen) arrived(path string) {
	s.t.Helper()
	s.until("it is led to "+path, func() bool { return eval[string](s, "location.pathname") == path })
}

// status is what the server says when the page asks for a path.
func (s *screen) status(path string) int {
	return eval[int](s, "fetch('"+path+"').then((r) => r.status)")
}

// invited has the owner, on the page of people, invite somebody; it gives the invitation's address.
func (s *screen) invited(name, signIn, role string) string {
	s.t.Helper()
	s.fill("textbox", "Name", name)
	s.fill("textbox", "Sign-in name", signIn)
	eval[bool](s, `(() => { const x = document.querySelector("form select"); x.value = "`+role+`"; x.dispatchEvent(new Event("change", {bubbles: true})); return true; })()`)
	s.tap("button", "Add, and make an invitation")
	address := ""
	s.until("the invitation of "+name+" is shown", func() bool {
		address = eval[string](s, `document.querySelector(".told p")?.textContent.includes("`+name+`") ? document.querySelector(".told code").textContent : ""`)
		return address != ""
	})
	return address
}

// accepts has somebody choose a password in a browser of his own.
func accepts(t *testing.T, invitation, password string, l look) *screen {
	t.Helper()
	s := open(t, invitation, l).refusable()
	s.find("heading", "Welcome, .*")
	if strings.Contains(eval[string](s, "location.href"), "#") {
		t.Error("the secret stays in the address")
	}
	s.fill("textbox", "New password.*", password)
	s.tap("button", "Keep this password and sign in")
	s.arrived("/")
	return s
}

// The owner invites an estimator and a crew; each signs in and may what the role says; the owner ends a session.
func TestTheOwnerInvitesAndEndsASession(t *testing.T) {
	for name, l := range map[string]look{"phone": phone, "desk": desk} {
		t.Run(name, func(t *testing.T) {
			_, invitation := firm(t)
			owner := open(t, invitation, l).refusable()
			owner.find("heading", "Welcome, Asha")
			owner.keep("invitation-" + name)
			owner.axe("an invitation, " + name)
			owner.fill("textbox", "New password.*", "wet felt to the north")
			owner.tap("button", "Keep this password and sign in")
			owner.arrived("/")
			owner.goTo("/people")
			owner.find("heading", "People")
			bo := accepts(t, owner.invited("Bo", "bo", "estimator"), "loose slates and bo", l)
			cem := accepts(t, owner.invited("Cem", "cem", "crew"), "loose slates and cem", l)
			owner.find("button", "Where signed in: Cem")
			owner.keep("people-" + name)
			owner.axe("people, " + name)
			for _, c := range []struct {
				who  *screen
				path string
				want int
			}{{bo, "/api/people", 403}, {bo, "/api/deeds", 403}, {bo, "/api/jobs", 200}, {cem, "/api/people", 403}, {cem, "/api/jobs", 200},
				{owner, "/api/people", 200}} {
				if got := c.who.status(c.path); got != c.want {
					t.Errorf("%s: %d, want %d", c.path, got, c.want)
				}
			}
			cem.goTo("/account")
			cem.find("heading", "Where I am signed in")
			cem.find("button", "End: Chrome on .*")
			cem.keep("account-" + name)
			cem.axe("one's own account, " + name)
			owner.tap("button", "Where signed in: Cem")
			owner.tap("button", "End: Chrome on .*")
			owner.until("it is ended", func() bool { return strings.Contains(owner.words(), "Nowhere at present.") })
			cem.goTo("/account")
			cem.arrived("/sign-in")
			cem.keep("sign-in-" + name)
			cem.axe("signing in, " + name)
			cem.fill("textbox", "Sign-in name", "cem")
			cem.fill("textbox", "Password", "not these words")
			cem.tap("button", "Sign in")
			cem.until("it is refused", func() bool { return strings.Contains(cem.words(), "name and password do not fit") })
			cem.fill("textbox", "Password", "loose slates and cem")
			cem.tap("button", "Sign in")
			cem.arrived("/")
			owner.goTo("/deeds")
			owner.until("it stands there", func() bool { return strings.Contains(owner.words(), "session ended, Cem") })
			owner.keep("deeds-" + name)
			owner.axe("who did what, " + name)
		})
	}
}

// A device makes a passkey and lets in with it; a customer's link is made and opened on a phone.
func TestAPasskeyAndACustomersLink(t *testing.T) {
	address, invitation := firm(t)
	owner := accepts(t, invitation, "wet felt to the north", desk)
	owner.call("a device that keeps passkeys", func() error {
		if _, err := chromedp.Call(owner.ctx, webauthn.Enable, webauthn.EnableParams{}); err != nil {
			return err
		}
		_, err := chromedp.Call(owner.ctx, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{
			Options: &webauthn.VirtualAuthenticatorOptions{Protocol: webauthn.AuthenticatorProtocolCtap2, Transport: webauthn.AuthenticatorTransportInternal,
				HasResidentKey: true, HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true}})
		return err
	})
	owner.goTo("/account")
	owner.fill("textbox", "Name of the device", "laptop")
	owner.tap("button", "Make a passkey with this device")
	owner.find("button", "End: laptop")
	owner.tap("button", "Sign out")
	owner.arrived("/sign-in")
	owner.tap("button", "Sign in with a passkey")
	owner.arrived("/")
	id := eval[string](owner, `fetch("/api/jobs", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({title: "Garage roof",
		site: "1 Lower Mill", state: {id: "s1", document: {roof: {}}}})}).then((r) => r.json()).then((j) => j.id)`)
	if len(id) != 32 {
		t.Fatalf("the job is %q", id)
	}
	owner.goTo("/customers")
	owner.fill("textbox", "Customer's name", "Ms Example")
	owner.tap("button", "Make a link")
	link := ""
	owner.until("the link is shown", func() bool {
		link = eval[string](owner, `document.querySelector(".told code")?.textContent ?? ""`)
		return strings.HasPrefix(link, address+"/customer#")
	})
	owner.keep("customers")
	owner.axe("customers' links")
	customer := open(t, link, phone).refusable()
	customer.find("heading", "Garage roof")
	customer.keep("customer-phone")
	customer.axe("a customer's page")
	if got := customer.status("/api/jobs/" + id); got != 404 {
		t.Errorf("a customer asks for the job itself: %d", got)
	}
	owner.tap("button", "End: Ms Example")
	owner.until("it is ended", func() bool {
		return !strings.Contains(owner.words(), "Ms Example, ") && len(owner.things("button", "End: Ms Example")) == 0
	})
	customer.reload()
	customer.until("it is told", func() bool {
		return strings.Contains(customer.words(), "it has ended") || strings.Contains(customer.words(), "nobody is signed in")
	})
}
