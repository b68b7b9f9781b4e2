package browser

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"net"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"gelwright/internal/postgrestest"
)

// house is a firm's server as it stands on a network: the program itself, under the firm's own authority, and a browser that was
// told to trust it.
type house struct {
	t *testing.T
	// address is where this computer finds it, first the address by which the first owner is made.
	address, first string
	trusting       context.Context
}

// stands starts the program for a firm in which nobody has an account.
func stands(t *testing.T, data string, more ...string) *house {
	t.Helper()
	needs(t)
	program.once.Do(built)
	if program.err != nil {
		t.Fatal(program.err)
	}
	args := append([]string{"serve", "--data", data, "--listen", "0.0.0.0:0", "--hand-out", "none", "--log", "quiet"}, more...)
	cmd := exec.Command(program.path, args...)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Signal(syscall.SIGTERM); cmd.Wait() })
	h := &house{t: t}
	for lines := bufio.NewScanner(out); h.first == "" && lines.Scan(); {
		at, err := url.Parse(lines.Text())
		if err != nil || at.Scheme != "https" {
			continue
		}
		// The printed name is one of the network's; this computer goes by its own, which the certificate has too.
		_, port, _ := net.SplitHostPort(at.Host)
		h.address = "https://localhost:" + port
		if at.Path == "/first-owner" {
			h.first = h.address + at.Path + "#" + at.Fragment
		}
	}
	if h.first == "" {
		t.Fatal("no address for the first owner was printed")
	}
	h.trusting = device(t, filepath.Join(data, "authority", "firm.crt"))
	if err := chromedp.Do(h.trusting); err != nil {
		t.Fatal(err)
	}
	return h
}

// opens opens an address in a browser of somebody's own.
func (h *house) opens(t *testing.T, address string, l look) *screen {
	t.Helper()
	return tab(t, h.trusting, address, l)
}

// joins has somebody who was invited choose a password in a browser of his own.
func (h *house) joins(t *testing.T, invitation, password string, l look) *screen {
	t.Helper()
	s := h.opens(t, invitation, l)
	s.find("heading", "Welcome, .*")
	s.fill("textbox", "New password.*", password)
	s.tap("button", "Keep this password and sign in")
	s.arrived("/")
	return s
}

// refused takes back what the console says of refusals that the test has brought about; anything else stays a fault.
func (s *screen) refused(status ...string) {
	s.t.Helper()
	for _, fault := range s.forgiven() {
		if !slices.ContainsFunc(status, func(n string) bool { return strings.Contains(fault, "status of "+n) }) {
			s.t.Error(fault)
		}
	}
}

// ofOffice goes to a place of the office from wherever the page is.
func (s *screen) ofOffice(place string) {
	s.t.Helper()
	s.goTo("/office.html#" + place)
	s.until("the office is shown", func() bool { return eval[bool](s, `document.querySelector(".office main section") !== null`) })
}

// jobsOf are the ids of the jobs that the page is told of, by title.
func (s *screen) jobsOf() map[string]string {
	s.t.Helper()
	return eval[map[string]string](s, `fetch("/api/jobs").then((r) => r.json()).then((r) => Object.fromEntries(r.jobs.map((j) => [j.title, j.id])))`)
}

// photographed writes a small photo to choose.
func photographed(t *testing.T) string {
	t.Helper()
	i := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for x := range 64 {
		for y := range 48 {
			i.Set(x, y, color.RGBA{uint8(4 * x), uint8(5 * y), 90, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, i, nil); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "north side.jpg")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// chooses gives a file to the one field for files on the screen.
func (s *screen) chooses(path string) {
	s.t.Helper()
	s.call("choosing a file", func() error {
		doc, err := chromedp.Call(s.ctx, dom.GetDocument, dom.GetDocumentParams{})
		if err != nil {
			return err
		}
		field, err := chromedp.Call(s.ctx, dom.QuerySelector, dom.QuerySelectorParams{NodeID: doc.Root.NodeID, Selector: "input[type=file]"})
		if err != nil {
			return err
		}
		_, err = chromedp.Call(s.ctx, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: []string{path}, NodeID: field.NodeID})
		return err
	})
}

// pails is what one, two or more pails of resin cost in the invented firm, as no crew and no customer may read it anywhere.
const pails = `/\b(1,?234\.56|2,?469\.12|3,?703\.68|4,?938\.24|6,?172\.80|(12345|24691|37036|49382|61728)\d)\b/`

const priceless = `(` + pails + `.test(document.documentElement.outerHTML))`

// A firm of an owner, an estimator, two crews and a customer, from the first start of its server to the end of a customer's link, in
// Chromium over HTTPS under the firm's own authority, with either database.
func TestAFirmIsPlayedThrough(t *testing.T) {
	for name, more := range map[string]func(t *testing.T) []string{
		"sqlite":   func(*testing.T) []string { return nil },
		"postgres": func(t *testing.T) []string { return []string{"--database", postgrestest.New(t)} },
	} {
		t.Run(name, func(t *testing.T) { playedThrough(t, stands(t, filepath.Join(t.TempDir(), "data"), more(t)...)) })
	}
}

func playedThrough(t *testing.T, h *house) {
	// The first start: the owner makes his account by the address that was printed, which nobody can use again.
	owner := h.opens(t, h.first, desk)
	owner.find("heading", "The first owner")
	owner.fill("textbox", "Name", "Asha North")
	owner.fill("textbox", "Sign-in name.*", "asha")
	owner.fill("textbox", "New password.*", "wet felt to the north")
	owner.tap("checkbox", "Show what is typed")
	owner.until("what was typed is shown", func() bool { return len(owner.things("textbox", "New password.*")) == 1 })
	owner.fill("textbox", "New password.*", "wet felt to the north")
	owner.keep("firm-first-owner")
	owner.axe("the first owner")
	owner.tap("button", "Make this account and sign in")
	owner.arrived("/")
	again := h.opens(t, h.first, phone)
	again.fill("textbox", "Name", "Mallory")
	again.fill("textbox", "Sign-in name.*", "mallory")
	again.fill("textbox", "New password.*", "dry felt to the south")
	again.keep("firm-first-owner-phone")
	again.axe("the first owner, phone")
	again.tap("button", "Make this account and sign in")
	again.until("it is told that it has ended", func() bool { return strings.Contains(again.words(), "it has ended") })
	again.refused("401")

	// He invites the others, who choose their passwords.
	owner.goTo("/people")
	bo := h.joins(t, owner.invited("Bo", "bo", "estimator"), "loose slates and bo", desk)
	cem := h.joins(t, owner.invited("Cem", "cem", "crew"), "loose slates and cem", phone)
	dee := h.joins(t, owner.invited("Dee", "dee", "crew"), "loose slates and dee", phone)
	owner.keep("firm-people")

	job := h.estimates(t, bo)
	h.plansDays(t, bo, job)
	h.onTheRoof(t, cem, dee, job)
	h.atOnce(t, bo, owner, job)
	h.shows(t, bo, job)
	h.looksAfter(t, owner, cem, dee)
}

// estimates has the estimator draw a roof by the tape, give the firm's prices and look at the papers; it gives the job.
func (h *house) estimates(t *testing.T, bo *screen) string {
	bo.goTo("/")
	bo.tap("button", "One blank roof")
	bo.tap("button", "Call the tape")
	for _, side := range [][2]string{{"4.8", "left"}, {"3.6", "left"}, {"4.8", "left"}, {"3.6", "close"}} {
		bo.measured(side[0], side[1])
	}
	bo.tap("button", "done")
	bo.answered("drip", "kerb", "wall", "kerb")
	bo.tap("button", "to edge 1, drip")
	bo.planned()
	bo.fill("textbox", "Name of the job", "Garage at Upper Mill")
	bo.press(kb.Tab)
	bo.kept()
	job := bo.jobsOf()["Garage at Upper Mill"]
	if job == "" {
		t.Fatalf("the jobs are %v", bo.jobsOf())
	}
	const firm = "version: 1\nname: Fieldroof\ncurrency: GBP\nprices:\n  - {item: resin.all-season, quantity: 20, cost: 1234.56}\n" +
		"  - {item: resin.all-season, quantity: 5, cost: 5000}\n  - {item: resin.all-season, quantity: 10, cost: 5000}\n" +
		"  - {item: resin.all-season, quantity: 225, cost: 90000}\n"
	if got := eval[int](bo, fmt.Sprintf(`fetch("/api/jobs/%s/files/firm.yaml", {method: "PUT", headers: {"Content-Type": "text/yaml"}, body: %q}).then((r) => r.status)`,
		job, firm)); got != 201 {
		t.Fatalf("the firm file: %d", got)
	}
	bo.reload()
	bo.planned()
	bo.tap("button", "Papers.*")
	bo.find("link", "Office book.*PDF.*")
	bo.keep("firm-estimator-papers")
	if !eval[bool](bo, fmt.Sprintf(`fetch("/api/jobs/%s/papers/office.html").then((r) => r.text()).then((x) => %s.test(x))`, job, pails)) {
		t.Error("the estimator's papers have no price of the firm: nothing is proved of the crew's")
	}
	return job
}

// plansDays has the estimator put the job on the trade's way and plan a day for each crew.
func (h *house) plansDays(t *testing.T, bo *screen, job string) {
	bo.ofOffice("names")
	for i, crew := range []string{"North", "South"} {
		bo.fill("textbox", "New crew", crew)
		bo.press(kb.Tab)
		bo.until("the crew is named", func() bool { return len(bo.things("DisclosureTriangle", ". (North|South)")) == i+1 })
	}
	bo.ofOffice("chart")
	bo.tap("link", "Garage at Upper Mill")
	bo.fill("textbox", "New customer", "Ada Quill")
	bo.press(kb.Tab)
	bo.until("the customer is chosen", func() bool { return bo.find("combobox", "Customer").value == "Ada Quill" })
	bo.until("the office knows the roof", func() bool { return strings.Contains(bo.words(), "17.3 m²") })
	if words := bo.words(); strings.Contains(words, "the roof has no outline yet") {
		t.Errorf("of a roof that was taped the office says: %s", words)
	}
	for _, stage := range []string{"Survey", "Design", "Order", "On the roof"} {
		bo.tap("button", "Move to "+stage)
		bo.until("it stands there", func() bool { return len(bo.things("", "stands at "+stage+" since .*")) > 0 })
	}
	for i, crew := range []string{"N North", "S South"} {
		bo.tap("Date", "Plan a day")
		bo.press(time.Now().AddDate(0, 0, 2+i).Format("01022006") + kb.Enter)
		bo.until("the day is planned", func() bool { return len(bo.things("Date", "Date")) == i+1 })
		eval[bool](bo, fmt.Sprintf(`(() => { const c = [...document.querySelectorAll(".day-of")].at(-1).querySelector("select");
			c.value = [...c.options].find((o) => o.text === %q).value; c.dispatchEvent(new Event("change", {bubbles: true})); return true; })()`, crew))
		bo.until("the crew is chosen", func() bool {
			return eval[string](bo, `[...document.querySelectorAll(".day-of")].at(-1)?.querySelector("select").selectedOptions[0].text ?? ""`) == crew
		})
	}
	bo.keep("firm-job")
	bo.ofOffice("calendar")
	bo.until("both days are in the calendar", func() bool { return len(bo.things("button", "Garage at Upper Mill .*")) == 2 })
	bo.keep("firm-calendar")
}

// onTheRoof has both crews read what they may on their phones, and keep a photo; nothing that they can see has a price.
func (h *house) onTheRoof(t *testing.T, cem, dee *screen, job string) {
	for _, who := range []*screen{cem, dee} {
		who.goTo("/")
		who.tap("link", "Garage at Upper Mill")
		who.planned()
		for _, sheet := range []string{"The day", "Order", "Papers"} {
			who.tap("button", sheet+".*")
			if who.planned(); sheet == "Papers" {
				who.find("link", "Site book.*PDF.*")
			}
			who.keep("firm-crew-" + strings.ReplaceAll(strings.ToLower(sheet), " ", "-"))
			if eval[bool](who, priceless) {
				t.Errorf("a price stands on the sheet %s of the crew", sheet)
			}
		}
		if n := len(who.things("link", "Office book.*")); n != 0 {
			t.Errorf("%d ways to the office book are shown to the crew", n)
		}
		at := "/api/jobs/" + job
		for path, want := range map[string]int{at: 200, at + "/papers/site.pdf": 200, at + "/papers/office.pdf": 403, at + "/papers/plan.json": 403,
			at + "/export": 403, "/api/people": 403, "/api/deeds": 403, at + "/links": 403, "/api/office/chart": 200} {
			if got := who.status(path); got != want {
				t.Errorf("%s asked by a crew: %d, want %d", path, got, want)
			}
		}
		who.refused("403")
	}
	// What the crew draws is not kept, and it is told so.
	dee.tap("button", "Survey.*")
	dee.fill("textbox", "Name of the job", "Mine")
	dee.press(kb.Tab)
	dee.until("it is told that it is not kept", func() bool { return strings.Contains(dee.words(), "you may not change jobs") })
	dee.keep("firm-crew-not-kept")
	dee.refused("403")
	cem.ofOffice("job=" + job)
	cem.find("heading", "Files and photos")
	cem.chooses(photographed(t))
	cem.find("link", "north side\\.jpg")
	cem.keep("firm-crew-photo")
	cem.axe("a job's sheet as the crew sees it")
}

// atOnce has two people change one job: the second is told what differs, and both changes are kept.
func (h *house) atOnce(t *testing.T, bo, owner *screen, job string) {
	for _, s := range []*screen{bo, owner} {
		s.goTo("/#job=" + job)
		s.planned()
		s.tap("button", "Survey.*")
	}
	owner.fill("textbox", "Name of the job", "Garage at Upper Mill, Ada Quill")
	owner.press(kb.Tab)
	owner.kept()
	bo.fill("textbox", "Name of the job", "Quill's garage")
	bo.press(kb.Tab)
	bo.until("it is told", func() bool { return strings.Contains(bo.words(), "Somebody else has changed this job meanwhile") })
	bo.keep("firm-joining")
	bo.tap("button", "they: Garage at Upper Mill, Ada Quill")
	bo.tap("button", "Join and keep both")
	bo.kept()
	bo.refused("409")
	if jobs := bo.jobsOf(); jobs["Garage at Upper Mill, Ada Quill"] != job {
		t.Errorf("joined the jobs are %v", jobs)
	}
}

// shows has the estimator make a customer's link, with the photo; the customer sees his job and nothing else until the link ends.
func (h *house) shows(t *testing.T, bo *screen, job string) {
	other := eval[string](bo, `fetch("/api/jobs", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({title: "Barn of another",
		site: "9 Far End", state: {id: "s1", document: {roof: {}}}})}).then((r) => r.json()).then((j) => j.id)`)
	bo.goTo("/customers#job=" + job)
	bo.fill("textbox", "Customer's name", "Ada Quill")
	bo.tap("button", "Make a link")
	link := ""
	bo.until("the link is shown", func() bool {
		link = eval[string](bo, `document.querySelector(".told code")?.textContent ?? ""`)
		return strings.HasPrefix(link, h.address+"/customer#")
	})
	bo.find("button", "End: Ada Quill")
	bo.tap("checkbox", "north side\\.jpg")
	bo.until("the photo is chosen", func() bool { return bo.find("checkbox", "north side\\.jpg").props["checked"] == "true" })
	customer := h.opens(t, link, phone)
	customer.find("heading", "Garage at Upper Mill, Ada Quill")
	customer.until("the photo is shown", func() bool {
		return eval[bool](customer, `[...document.querySelectorAll("main img")].some((i) => i.naturalWidth === 64)`)
	})
	if got := customer.words(); strings.Contains(got, "Barn of another") || strings.Count(got, time.Now().AddDate(0, 0, 2).Format("2 January 2006")) != 1 {
		t.Errorf("the customer reads: %s", got)
	}
	if eval[bool](customer, priceless) {
		t.Error("the customer reads a price")
	}
	customer.keep("firm-customer")
	customer.axe("a customer's page in the firm")
	for path, want := range map[string]int{"/api/customer/papers/drawing.svg": 200, "/api/customer/papers/care.pdf": 200, "/api/customer/papers/office.pdf": 404,
		"/api/jobs": 404, "/api/jobs/" + job: 404, "/api/jobs/" + other: 404, "/api/office/chart": 404, "/office.html": 404, "/people": 404} {
		if got := customer.status(path); got != want {
			t.Errorf("%s asked by the customer: %d, want %d", path, got, want)
		}
	}
	customer.refused("404")
	bo.tap("button", "End: Ada Quill")
	bo.until("the link is ended", func() bool { return len(bo.things("button", "End: Ada Quill")) == 0 })
	customer.reload()
	customer.until("it is told", func() bool {
		return strings.Contains(customer.words(), "it has ended") || strings.Contains(customer.words(), "nobody is signed in")
	})
	if got := customer.words(); strings.Contains(got, "Garage at Upper Mill") {
		t.Errorf("after the link has ended the customer reads: %s", got)
	}
	customer.refused("401")
}

// looksAfter has the owner end a session, whose phone is let in no more, and read who did what.
func (h *house) looksAfter(t *testing.T, owner, cem, dee *screen) {
	owner.goTo("/people")
	owner.tap("button", "Where signed in: Cem")
	owner.tap("button", "End: Chrome on .*")
	owner.until("it is ended", func() bool { return strings.Contains(owner.words(), "Nowhere at present.") })
	cem.goTo("/office.html")
	cem.arrived("/sign-in")
	if got := dee.status("/api/jobs"); got != 200 {
		t.Errorf("Dee's session has ended too: %d", got)
	}
	cem.fill("textbox", "Sign-in name", "cem")
	cem.fill("textbox", "Password", "loose slates and cem")
	cem.tap("button", "Sign in")
	cem.arrived("/")
	owner.goTo("/deeds")
	for _, deed := range []string{"session ended, Cem", "customer's link ended", "customer's link opened for the first time", "photo shown to the customer",
		"account made, Dee, crew", "account made, Asha North, owner", "job changed"} {
		owner.until("it stands there: "+deed, func() bool { return strings.Contains(owner.words(), deed) })
	}
	owner.keep("firm-deeds")
}
