package web_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"gelwright/people"
)

// browser is one browser over HTTPS: it keeps cookies as browsers do.
type browser struct {
	t      *testing.T
	url    string
	client *http.Client
}

// browsers gives new browsers of the real handler over HTTPS.
func browsers(s *served) func() *browser {
	s.t.Helper()
	on := httptest.NewTLSServer(s.Handler())
	s.t.Cleanup(on.Close)
	return func() *browser {
		jar, err := cookiejar.New(nil)
		if err != nil {
			s.t.Fatal(err)
		}
		c := *on.Client()
		c.Jar = jar
		return &browser{s.t, on.URL, &c}
	}
}

// ask asks as a page of this server does.
func (b *browser) ask(method, path, body string, heads ...string) got {
	b.t.Helper()
	r, err := http.NewRequestWithContext(b.t.Context(), method, b.url+path, strings.NewReader(body))
	if err != nil {
		b.t.Fatal(err)
	}
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, h := range heads {
		name, value, _ := strings.Cut(h, ": ")
		r.Header.Set(name, value)
		if value == "" {
			r.Header.Del(name)
		}
	}
	w, err := b.client.Do(r)
	if err != nil {
		b.t.Fatal(err)
	}
	defer w.Body.Close()
	raw, err := io.ReadAll(w.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return got{w.StatusCode, w.Header, raw}
}

// must asks for what must be done.
func (b *browser) must(method, path, body string, into any) got {
	b.t.Helper()
	g := b.ask(method, path, body)
	if g.status != http.StatusOK && g.status != http.StatusCreated {
		b.t.Fatalf("%s %s: %d %s", method, path, g.status, g.body)
	}
	if into != nil {
		if err := json.Unmarshal(g.body, into); err != nil {
			b.t.Fatalf("%s %s: %v in %s", method, path, err, g.body)
		}
	}
	return g
}

type invitedPerson struct {
	Person struct{ ID string }
	Secret string
}

// firm is a server with accounts and its owner's browser.
func firm(t *testing.T) (s *served, open func() *browser, owner *browser) {
	s = serve(t)
	s.Accounts = true
	open = browsers(s)
	a, err := s.Door().Add(t.Context(), people.Visit{}, people.ThisComputer, "asha", "Asha", people.Owner)
	if err != nil {
		t.Fatal(err)
	}
	secret, _, err := s.Door().Invite(t.Context(), people.Visit{}, people.ThisComputer, a.ID)
	if err != nil {
		t.Fatal(err)
	}
	owner = open()
	owner.must("POST", "/api/invitation/accept", fmt.Sprintf(`{"secret":%q,"password":"wet felt to the north"}`, secret), nil)
	return s, open, owner
}

// invites has the owner invite somebody, who chooses a password.
func invites(owner *browser, open func() *browser, signIn string, role people.Role) (*browser, string) {
	owner.t.Helper()
	var in, who invitedPerson
	owner.must("POST", "/api/people", fmt.Sprintf(`{"sign_in":%q,"name":"Name of %s","role":%q}`, signIn, signIn, role), &in)
	b := open()
	g := b.must("POST", "/api/invitation", fmt.Sprintf(`{"secret":%q}`, in.Secret), &who)
	if !bytes.Contains(g.body, []byte("Name of "+signIn)) {
		owner.t.Errorf("the invitation says %s", g.body)
	}
	b.must("POST", "/api/invitation/accept", fmt.Sprintf(`{"secret":%q,"password":"loose slates and %s"}`, in.Secret, signIn), nil)
	return b, in.Person.ID
}

// A session's cookie goes over HTTPS alone, is read by no script and sent by no other site's page, and ends with it. ASVS 3.3.1,
// 3.3.2, 3.3.4, 7.2.4, 7.4.1.
func TestASessionInABrowser(t *testing.T) {
	s, open, _ := firm(t)
	b := open()
	s.refusedAs(b.ask("GET", "/api/jobs", ""), http.StatusUnauthorized, "sign in")
	if g := b.ask("GET", "/api/jobs", ""); g.head.Get("WWW-Authenticate") != "Bearer" {
		t.Error("it does not say how to be let in")
	}
	g := b.must("POST", "/api/sign-in", `{"sign_in":"Asha","password":"wet felt to the north"}`, nil)
	cookie := g.head.Get("Set-Cookie")
	for _, part := range []string{"__Host-session=", "; Path=/", "; Secure", "; HttpOnly", "; SameSite=Lax", "; Max-Age=2592000"} {
		if !strings.Contains(cookie, part) {
			t.Errorf("the cookie %q has no %q", cookie, part)
		}
	}
	if strings.Contains(cookie, "Domain") || g.head.Get("Cache-Control") != "no-store" {
		t.Errorf("cookie %q, Cache-Control %q", cookie, g.head.Get("Cache-Control"))
	}
	b.must("GET", "/api/jobs", "", nil)
	// A change by cookie says from which page it is asked. ASVS 3.5.1.
	s.refusedAs(b.ask("POST", "/api/sign-out", "", "Sec-Fetch-Site: "), http.StatusForbidden, "origin")
	s.refusedAs(b.ask("POST", "/api/sign-out", "", "Sec-Fetch-Site: cross-site"), http.StatusForbidden, "origin")
	if g := b.ask("GET", "/api/jobs", "", "Sec-Fetch-Site: "); g.status != http.StatusOK {
		t.Errorf("a look without it: %d", g.status)
	}
	at, _ := url.Parse(b.url)
	kept := b.client.Jar.Cookies(at)
	if g := b.must("POST", "/api/sign-out", "", nil); g.head.Get("Clear-Site-Data") != `"cache"` || !strings.Contains(g.head.Get("Set-Cookie"), "__Host-session=; Path=/; Max-Age=0") {
		t.Errorf("signed out, the cookie is %q", g.head.Get("Set-Cookie"))
	}
	if len(b.client.Jar.Cookies(at)) != 0 {
		t.Error("the browser keeps the cookie")
	}
	b.client.Jar.SetCookies(at, kept)
	s.refusedAs(b.ask("GET", "/api/jobs", ""), http.StatusUnauthorized, "sign in")
}

// ASVS 6.3.1: who guesses is told plainly to wait.
func TestGuessesAreToldToWait(t *testing.T) {
	s, open, _ := firm(t)
	b := open()
	for range 10 {
		s.refusedAs(b.ask("POST", "/api/sign-in", `{"sign_in":"asha","password":"loose slates"}`), http.StatusUnauthorized, "sign in")
	}
	g := b.ask("POST", "/api/sign-in", `{"sign_in":"asha","password":"wet felt to the north"}`)
	x := s.refusedAs(g, http.StatusTooManyRequests, "often")
	if n := g.head.Get("Retry-After"); len(n) < 2 || len(n) > 3 || !strings.Contains(x.Remedy, "Wait") {
		t.Errorf("it says to wait %q seconds, %s", n, x.Remedy)
	}
}

// The owner makes and ends what others may do; each sees his own.
func TestTheOwnerSaysWhoMayDoWhat(t *testing.T) {
	s, open, owner := firm(t)
	cem, id := invites(owner, open, "cem", people.Crew)
	s.refusedAs(cem.ask("GET", "/api/people", ""), http.StatusForbidden, "right")
	var sessions struct {
		Passes []struct {
			ID, Name string
			This     bool
		}
	}
	cem.must("GET", "/api/account/sessions", "", &sessions)
	if len(sessions.Passes) != 1 || !sessions.Passes[0].This || sessions.Passes[0].Name != "a program on another system" {
		t.Errorf("sessions of Cem: %+v", sessions)
	}
	// A session of another cannot be ended by who may not manage people.
	var own struct{ Passes []struct{ ID string } }
	owner.must("GET", "/api/account/sessions", "", &own)
	s.refusedAs(cem.ask("POST", "/api/account/sessions/"+own.Passes[0].ID+"/end", ""), http.StatusNotFound, "unknown")
	owner.must("GET", "/api/people/"+id+"/sessions", "", &sessions)
	owner.must("POST", "/api/people/"+id+"/sessions/"+sessions.Passes[0].ID+"/end", "", nil)
	s.refusedAs(cem.ask("GET", "/api/jobs", ""), http.StatusUnauthorized, "sign in")
	signIn := `{"sign_in":"cem","password":"loose slates and cem"}`
	cem.must("POST", "/api/sign-in", signIn, nil)
	other := open()
	other.must("POST", "/api/sign-in", signIn, nil)
	cem.must("POST", "/api/account/sessions/end", "", nil)
	s.refusedAs(other.ask("GET", "/api/jobs", ""), http.StatusUnauthorized, "sign in")
	cem.must("GET", "/api/jobs", "", nil)
	cem.must("POST", "/api/account/password", `{"old":"loose slates and cem","password":"dry boards and cem"}`, nil)
	cem.must("GET", "/api/jobs", "", nil)
	owner.must("POST", "/api/people/"+id+"/role", `{"role":"estimator"}`, nil)
	s.refusedAs(cem.ask("GET", "/api/jobs", ""), http.StatusUnauthorized, "sign in")
	cem.must("POST", "/api/sign-in", `{"sign_in":"cem","password":"dry boards and cem"}`, nil)
	cem.must("GET", "/api/account/tokens", "", nil)
	owner.must("POST", "/api/people/"+id+"/end", "", nil)
	s.refusedAs(cem.ask("GET", "/api/jobs", ""), http.StatusUnauthorized, "sign in")
	s.refusedAs(cem.ask("POST", "/api/sign-in", `{"sign_in":"cem","password":"dry boards and cem"}`), http.StatusUnauthorized, "sign in")
	s.refusedAs(owner.ask("POST", "/api/people/"+own.Passes[0].ID+"/end", ""), http.StatusNotFound, "unknown")
	var list struct {
		People []struct {
			Name     string
			Password bool
			Ended    *time.Time
		}
	}
	if g := owner.must("GET", "/api/people", "", &list); len(list.People) != 2 || list.People[1].Ended == nil || bytes.Contains(g.body, []byte("argon2")) {
		t.Errorf("people: %s", g.body)
	}
	if g := owner.must("GET", "/api/deeds?limit=1", "", nil); !bytes.Contains(g.body, []byte("sign-in refused")) {
		t.Errorf("the last deed is %s", g.body)
	}
}

// A program asks with a token, without cookies and from no page. ASVS 7.2.1.
func TestATokenAsksForItsMaker(t *testing.T) {
	s, open, owner := firm(t)
	var made struct{ ID, Secret string }
	ends := s.Now().Add(time.Hour).Format(time.RFC3339)
	owner.must("POST", "/api/account/tokens", fmt.Sprintf(`{"name":"clock","role":"crew","ends":%q}`, ends), &made)
	b := open()
	bearer := []string{"Authorization: Bearer " + made.Secret, "Sec-Fetch-Site: "}
	if g := b.ask("GET", "/api/me", "", bearer...); !bytes.Contains(g.body, []byte(`"role":"crew"`)) || !bytes.Contains(g.body, []byte("Asha by token clock")) {
		t.Errorf("the token is %s", g.body)
	}
	s.refusedAs(b.ask("GET", "/api/people", "", bearer...), http.StatusForbidden, "right")
	s.refusedAs(b.ask("POST", "/api/account/tokens", fmt.Sprintf(`{"name":"x","role":"crew","ends":%q}`, ends), bearer...), http.StatusForbidden, "right")
	if g := owner.must("GET", "/api/account/tokens", "", nil); bytes.Contains(g.body, []byte(made.Secret)) {
		t.Error("the secret is told again")
	}
	owner.must("POST", "/api/account/tokens/"+made.ID+"/end", "", nil)
	s.refusedAs(b.ask("GET", "/api/me", "", bearer...), http.StatusUnauthorized, "sign in")
	s.refusedAs(b.ask("GET", "/api/me", "", "Authorization: Bearer nonsense"), http.StatusUnauthorized, "sign in")
}

// firmText is a firm file with a price by which it is known again.
// The other packs cost so much that the pails are bought; a line has a cost where all its packs have a price.
const firmText = "version: 1\nname: A firm\nprices: [{item: resin.all-season, quantity: 20, cost: 87654.32}, {item: resin.all-season, quantity: 5, cost: 90000}, " +
	"{item: resin.all-season, quantity: 10, cost: 90000}, {item: resin.all-season, quantity: 225, cost: 9000000}]\n"

// Whoever may not see prices gets no paper and no file in which they stand. ASVS 8.2.2, 8.2.3.
func TestTheCrewSeesNoPrices(t *testing.T) {
	s, open, owner := firm(t)
	var b begun
	owner.must("POST", "/api/jobs", `{"title":"Garage","state":{"id":"s1","document":{"roof":`+example(t, "r01-garage")+`}}}`, &b)
	at := "/api/jobs/" + b.ID
	if g := owner.ask("PUT", at+"/files/firm.yaml", firmText, "Content-Type: text/yaml"); g.status != http.StatusCreated {
		t.Fatalf("%d %s", g.status, g.body)
	}
	cem, _ := invites(owner, open, "cem", people.Crew)
	if g := cem.must("GET", at+"/files/firm.yaml", "", nil); bytes.Contains(g.body, []byte("87654")) || !bytes.Contains(g.body, []byte("name: A firm")) {
		t.Errorf("the crew reads %s", g.body)
	}
	s.refusedAs(cem.ask("PUT", at+"/files/firm.yaml", firmText, "Content-Type: text/yaml"), http.StatusForbidden, "right")
	s.refusedAs(cem.ask("PUT", at+"/files/firm 2.yaml", firmText, "Content-Type: text/yaml"), http.StatusForbidden, "right")
	s.refusedAs(cem.ask("PUT", at+"/files/Firm.yaml", firmText, "Content-Type: text/yaml"), http.StatusForbidden, "right")
	s.refusedAs(cem.ask("PUT", at+"/files/forecast%202.csv", smallSky("12"), "Content-Type: text/csv"), http.StatusForbidden, "right")
	s.refusedAs(cem.ask("PUT", at+"/files/forecast.csv", smallSky("12"), "Content-Type: text/csv"), http.StatusForbidden, "right")
	if g := owner.must("GET", at+"/files/firm.yaml", "", nil); string(g.body) != firmText {
		t.Errorf("the owner reads %s", g.body)
	}
	if testing.Short() {
		return // the papers take a while
	}
	var all, some struct{ Papers []struct{ Name string } }
	owner.must("GET", at+"/papers", "", &all)
	cem.must("GET", at+"/papers", "", &some)
	theirs := map[string]bool{}
	for _, p := range some.Papers {
		theirs[p.Name] = true
	}
	// Two pails are ordered: what is looked for stands in the owner's papers, or the search would prove nothing.
	money := regexp.MustCompile(`87,?654\.32|175,?308\.64|8765432|17530864`)
	if g := owner.must("GET", at+"/papers/lists/order.csv", "", nil); !money.Match(g.body) {
		t.Fatalf("no price stands in the order: %s", g.body)
	}
	for name, q := range asksOf { // every question that a crew may read the answer of
		if !strings.HasPrefix(name, "GET ") || !strings.Contains(mayAsk[name], "c") {
			continue
		}
		if g := cem.ask("GET", strings.ReplaceAll(q.path, "JOB", b.ID), ""); money.Match(g.body) {
			t.Errorf("the crew reads a price at %s: %.300s", name, money.Find(g.body))
		}
	}
	for _, p := range all.Papers {
		g := owner.must("GET", at+"/papers/"+p.Name, "", nil)
		if theirs[p.Name] && money.Match(g.body) {
			t.Errorf("%s has a price and is the crew's", p.Name)
		}
		if !theirs[p.Name] {
			s.refusedAs(cem.ask("GET", at+"/papers/"+p.Name, ""), http.StatusForbidden, "right")
		}
	}
	if !theirs["site.pdf"] || theirs["office.pdf"] || theirs["plan.json"] || theirs["lists/order.csv"] {
		t.Errorf("the crew's papers are %v", theirs)
	}
	zip, whole := cem.must("GET", at+"/papers/all.zip", "", nil), owner.must("GET", at+"/papers/all.zip", "", nil)
	if !bytes.Contains(whole.body, []byte("office.pdf")) || bytes.Contains(zip.body, []byte("office.pdf")) || !bytes.Contains(zip.body, []byte("site.pdf")) {
		t.Error("all papers as one file are not those that each may see")
	}
}

// A customer sees his job as far as it is meant for him, and of everything else that there is nothing. ASVS 8.2.2, 14.2.1.
func TestACustomersLink(t *testing.T) {
	s, open, owner := firm(t)
	var b, other begun
	owner.must("POST", "/api/jobs", `{"title":"Garage","state":{"id":"s1","document":{"roof":`+example(t, "r01-garage")+`}}}`, &b)
	owner.must("POST", "/api/jobs", `{"title":"Shed","state":{"id":"s1","document":{"roof":{}}}}`, &other)
	pixels := picture(t, "jpeg", 4, 3)
	for _, job := range []string{b.ID, other.ID} {
		for _, name := range []string{"seen.jpg", "inside.jpg"} {
			if g := owner.ask("PUT", "/api/jobs/"+job+"/files/"+name, pixels, "Content-Type: image/jpeg"); g.status != http.StatusCreated {
				t.Fatalf("%d %s", g.status, g.body)
			}
		}
	}
	owner.must("POST", "/api/jobs/"+b.ID+"/files/seen.jpg/shown", `{"shown":true}`, nil)
	owner.must("POST", "/api/jobs/"+other.ID+"/files/inside.jpg/shown", `{"shown":true}`, nil)
	if g := owner.ask("PUT", "/api/jobs/"+b.ID+"/files/x.csv", "a,b", "Content-Type: text/csv"); g.status != http.StatusCreated {
		t.Fatalf("%d %s", g.status, g.body)
	}
	s.refusedAs(owner.ask("POST", "/api/jobs/"+b.ID+"/files/x.csv/shown", `{"shown":true}`), http.StatusBadRequest, "photo")
	var made struct{ ID, Secret string }
	owner.must("POST", "/api/jobs/"+b.ID+"/links", fmt.Sprintf(`{"name":"Ms Example","ends":%q}`, s.Now().Add(time.Hour).Format(time.RFC3339)), &made)
	c := open()
	s.refusedAs(c.ask("GET", "/api/customer", ""), http.StatusUnauthorized, "sign in")
	c.must("POST", "/api/customer", fmt.Sprintf(`{"secret":%q}`, made.Secret), nil)
	for _, date := range []string{"2026-06-04", "2026-06-03"} {
		owner.must("PUT", "/api/office/days/"+strings.Repeat("0", 22)+strings.ReplaceAll(date, "-", "")+"00", fmt.Sprintf(`{"based_on":0,"sheet":{"job":%q,"crew":"",
			"date":%q,"part":"whole","note":"bring the long ladder","off":false}}`, b.ID, date), nil)
	}
	var seen struct {
		Title, Site, For     string
		Days, Papers, Photos []string
	}
	g := c.must("GET", "/api/customer", "", &seen)
	if seen.Title != "Garage" || seen.For != "Ms Example" || fmt.Sprint(seen.Days) != "[2026-06-03 2026-06-04]" || len(seen.Papers) != 2 || fmt.Sprint(seen.Photos) != "[seen.jpg]" {
		t.Errorf("the customer sees %s", g.body)
	}
	if g := c.must("GET", "/api/customer/papers/care.pdf", "", nil); !bytes.HasPrefix(g.body, []byte("%PDF")) || g.head.Get("Content-Type") != "application/pdf" {
		t.Errorf("the care sheet is %.20s", g.body)
	}
	if g := c.must("GET", "/api/customer/papers/drawing.svg", "", nil); !bytes.Contains(g.body, []byte("<svg")) {
		t.Errorf("the drawing is %.20s", g.body)
	}
	if g := c.must("GET", "/api/customer/photos/seen.jpg", "", nil); string(g.body) != pixels || g.head.Get("Content-Type") != "image/jpeg" {
		t.Errorf("the photo is %s", g.body)
	}
	for _, path := range []string{"/", "/account", "/people", "/api/jobs", "/api/jobs/" + b.ID, "/api/jobs/" + b.ID + "/files", "/api/jobs/" + other.ID,
		"/api/jobs/" + b.ID + "/papers/site.pdf", "/api/customer/photos/inside.jpg", "/api/customer/papers/office.pdf", "/api/account/sessions", "/api/deeds"} {
		if g := c.ask("GET", path, ""); g.status != http.StatusNotFound {
			t.Errorf("a customer asks for %s: %d %.200s", path, g.status, g.body)
		}
	}
	// Who has opened the link with the browser of an account sees the job of the link, and goes on with the account.
	owner.must("POST", "/api/customer", fmt.Sprintf(`{"secret":%q}`, made.Secret), nil)
	owner.must("GET", "/api/customer", "", nil)
	owner.must("GET", "/api/people", "", nil)
	owner.must("POST", "/api/jobs/"+b.ID+"/links/"+made.ID+"/end", "", nil)
	s.refusedAs(c.ask("GET", "/api/customer", ""), http.StatusUnauthorized, "sign in")
	s.refusedAs(c.ask("POST", "/api/customer", fmt.Sprintf(`{"secret":%q}`, made.Secret)), http.StatusUnauthorized, "sign in")
}
