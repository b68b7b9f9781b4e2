package browser

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// The papers of a job are made behind the page, told of until they are there, and taken as one file; ordered twice they are made
// once.
func TestPapersAreMadeBehindThePage(t *testing.T) {
	s, p := opened(t, "r01-garage", desk)
	s.planned()
	s.tap("button", "Papers.*")
	s.tap("button", "Make all papers as one file")
	s.until("the file can be taken", func() bool { return len(s.things("link", "Take the file")) == 1 })
	if said := s.words(); !strings.Contains(said, ": done.") {
		t.Errorf("the page does not say that it is done: %q", said)
	}
	s.axe("papers made behind the page")
	s.keep("papers-made-behind-the-page")
	href := eval[string](s, `[...document.querySelectorAll("a")].find((a) => a.textContent === "Take the file").getAttribute("href")`)
	w, err := http.Get(strings.TrimSuffix(p.url, "/") + href)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Body.Close()
	raw, err := io.ReadAll(w.Body)
	if err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatalf("%s is no file of papers: %v", href, err)
	}
	books := 0
	for _, f := range z.File {
		if f.Name == "site.pdf" || f.Name == "office.pdf" || f.Name == "workings.pdf" {
			books++
		}
	}
	if books != 3 {
		t.Errorf("%s holds %d of the three books", href, books)
	}
	s.tap("button", "Make all papers as one file")
	s.until("the second order has ended too", func() bool {
		words := s.words()
		return len(s.things("link", "Take the file")) >= 1 && !strings.Contains(words, "under way") && !strings.Contains(words, ": waiting")
	})
	var list struct {
		Files []struct {
			Name string `json:"name"`
		} `json:"files"`
	}
	ask(t, strings.TrimSuffix(p.url, "/")+href[:strings.Index(href, "/files/")]+"/files", &list)
	kept := 0
	for _, f := range list.Files {
		if strings.HasSuffix(f.Name, ".zip") {
			kept++
		}
	}
	if kept != 1 {
		t.Errorf("%d files of papers are kept of one state, wanted is one", kept)
	}
}

// What the round of the morning has found of a job stands above the firm's book, with the way to the job.
func TestWhatIsToBeSeenToStandsAboveTheBook(t *testing.T) {
	p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", "r01-garage.yaml"), "--daily", "off")
	_, job, _ := strings.Cut(p.page, "#job=")
	day := time.Now().AddDate(0, 0, 3).Format(time.DateOnly)
	p.send("PUT", "/api/office/jobs/"+job, "application/json", []byte(`{"based_on":0,"what":"ordered","sheet":
		{"stage":"order","why":"","reached":[],"customer":"","site":"","waits":[],"ordered":"","note":""}}`))
	p.send("PUT", "/api/office/days/"+strings.Repeat("7", 32), "application/json",
		fmt.Appendf(nil, `{"based_on":0,"what":"put in","sheet":{"job":%q,"crew":"","date":%q,"part":"whole","note":"","off":false}}`, job, day))
	p.send("POST", "/api/morning", "application/json", []byte("{}"))
	for try := 0; !strings.Contains(string(p.send("GET", "/api/reminders", "", nil)), "goods are not ordered"); try++ {
		if try == 200 {
			t.Fatalf("nothing is told: %s", p.send("GET", "/api/tasks", "", nil))
		}
		time.Sleep(50 * time.Millisecond)
	}
	for name, l := range map[string]look{"desk": desk, "phone": phone} {
		s := p.office(t, l, "chart")
		s.until("it is told", func() bool { return strings.Contains(s.words(), "To be seen to: 1 thing, found ") })
		if said := s.words(); !strings.Contains(said, "Its first day on the roof is "+day+", in 3 days, and the goods are not ordered.") {
			t.Errorf("the book says %q", said)
		}
		s.axe("what is to be seen to")
		s.keep("office-seen-to-" + name)
	}
}
