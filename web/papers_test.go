package web_test

import (
	"archive/zip"
	"bytes"
	"io"
	"net/http"
	"os"
	"path"
	"regexp"
	"strings"
	"testing"

	"gelwright/internal/examples"
)

type paperList struct {
	Seq    int
	Made   struct{ Inputs string }
	Papers []struct {
		Name, Media string
		Bytes       int
	}
}

func TestPapersOfAState(t *testing.T) {
	s := serve(t)
	roof := example(t, "r01-garage")
	j := s.job("Garage at Lower Mill", roof)
	where := "/api/jobs/" + j.ID
	var list paperList
	s.get(where+"/papers", &list)
	want := map[string]bool{"site.pdf": true, "office.html": true, "workings.pdf": true, "labels.pdf": true, "plan.json": true, "lists/order.csv": true,
		"drawings/all.pdf": true}
	all := s.get(where+"/papers/all.zip", nil)
	z, err := zip.NewReader(bytes.NewReader(all.body), int64(len(all.body)))
	if err != nil || len(z.File) != len(list.Papers) || len(list.Papers) < 30 || list.Made.Inputs == "" {
		t.Fatalf("%d papers are listed, %v in the zip (%v)", len(list.Papers), z, err)
	}
	for i, p := range list.Papers {
		delete(want, p.Name)
		g := s.get(where+"/papers/"+p.Name, nil)
		r, err := z.File[i].Open()
		if err != nil {
			t.Fatal(err)
		}
		packed, err := io.ReadAll(r)
		if err != nil || z.File[i].Name != p.Name || !bytes.Equal(packed, g.body) || len(g.body) != p.Bytes || g.head.Get("Content-Type") != p.Media || p.Media == "" {
			t.Errorf("%s (%s): %d bytes as %s, in the zip %s of %d (%v)", p.Name, p.Media, len(g.body), g.head.Get("Content-Type"), z.File[i].Name, len(packed), err)
		}
	}
	if len(want) > 0 {
		t.Errorf("not among the papers: %v", want)
	}
	// A state keeps its papers when the job goes on, and a page of it leads to the others of it.
	s.post(where+"/states", stateOf("s2", 1, strings.Replace(roof, "Garage at Lower Mill", "Barn at Lower Mill", 1)), nil)
	if g := s.get(where+"/papers/site.html", nil); !bytes.Contains(g.body, []byte("Barn at Lower Mill")) {
		t.Error("the newest papers are not of the newest state")
	}
	g := s.do(ask{method: "GET", path: where + "/papers/site.html?seq=1"})
	if g.head.Get("Location") != where+"/states/1/papers/site.html" {
		t.Errorf("the page of an earlier state: %d %v", g.status, g.head)
	}
	if g := s.get(g.head.Get("Location"), nil); bytes.Contains(g.body, []byte("Barn at")) || !bytes.Contains(g.body, []byte("Garage at Lower Mill")) {
		t.Error("the papers of an earlier state are not its own")
	}
	for _, name := range []string{"nothing.pdf", "..%2Fplan.json", "drawings", "", "%2e%2e/roof.yaml"} {
		if g := s.do(ask{method: "GET", path: where + "/papers/" + name}); g.status != http.StatusNotFound && g.status/100 != 3 {
			t.Errorf("paper %q: %d %.100s", name, g.status, g.body)
		}
	}
	s.refusedAs(s.do(ask{method: "GET", path: where + "/papers/site.pdf?seq=9"}), http.StatusNotFound, "unknown")
}

var styles = regexp.MustCompile(`(?s)<style>(.*?)</style>`)

// A paper that is a page has style within it and nothing else: its policy lets that very style in, and no script.
func TestPagesHaveAPolicyOfTheirOwn(t *testing.T) {
	s := serve(t)
	where := "/api/jobs/" + s.job("Garage", example(t, "r01-garage")).ID
	var list paperList
	s.get(where+"/papers", &list)
	for _, p := range list.Papers {
		ext := path.Ext(p.Name)
		if ext != ".html" && ext != ".svg" {
			continue
		}
		g := s.get(where+"/papers/"+p.Name, nil)
		policy := g.head.Get("Content-Security-Policy")
		if n := len(styles.FindAll(g.body, -1)); strings.Count(policy, "'sha256-") != n || strings.Contains(policy, "script") ||
			!strings.HasPrefix(policy, "default-src 'none'; ") {
			t.Errorf("%s with %d styles: %q", p.Name, n, policy)
		}
		for _, bad := range []string{"<script", " style=", "javascript:", " onload="} {
			if bytes.Contains(g.body, []byte(bad)) {
				t.Errorf("%s holds %q, which its policy forbids", p.Name, bad)
			}
		}
	}
}

// With a firm and a forecast beside it a job is planned as the command line plans with --firm and --forecast.
func TestFirmAndForecastAreTheJobsFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("a search of the days")
	}
	s := serve(t)
	where := "/api/jobs/" + s.job("Garage", example(t, "r01-garage")).ID
	var without, with paperList
	s.get(where+"/papers", &without)
	for name, media := range map[string]string{"firm.yaml": "text/yaml", "forecast.csv": "text/csv"} {
		text, err := os.ReadFile("../examples/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if g := s.do(ask{method: "PUT", path: where + "/files/" + name, body: string(text), heads: []string{"Content-Type: " + media}}); g.status != http.StatusCreated {
			t.Fatalf("%s: %d %s", name, g.status, g.body)
		}
	}
	s.get(where+"/papers", &with)
	if with.Made.Inputs == without.Made.Inputs {
		t.Error("firm and forecast change nothing")
	}
	if g := s.get(where+"/papers/plan.json", nil); !bytes.Contains(g.body, []byte("firm.yaml")) || !strings.Contains(jsonOf(t, with), "fortnight") {
		t.Error("the plan does not name the firm's file as a source, or has no fortnight")
	}
	// A newer one takes the place; one that cannot be read is refused with its name, an empty one takes it away.
	x := s.refusedAs(s.do(ask{method: "PUT", path: where + "/files/forecast.csv", body: "nonsense", heads: []string{"Content-Type: text/csv"}}),
		http.StatusUnprocessableEntity, "faulty")
	if x.Place != "forecast.csv" {
		t.Errorf("told of %q", x.Place)
	}
	s.refusedAs(s.do(ask{method: "PUT", path: where + "/files/firm.yaml", body: "prices: [[[ not", heads: []string{"Content-Type: text/yaml"}}),
		http.StatusUnprocessableEntity, "faults")
	var still paperList
	if s.get(where+"/papers", &still); still.Made.Inputs != with.Made.Inputs {
		t.Error("what was refused has changed the papers")
	}
	s.do(ask{method: "PUT", path: where + "/files/forecast.csv", heads: []string{"Content-Type: text/csv"}})
	if g := s.get(where+"/papers", nil); bytes.Contains(g.body, []byte("fortnight")) {
		t.Error("the forecast was taken away, and the fortnight is still drawn")
	}
}

func TestFaultsOfARoofAreAllTold(t *testing.T) {
	s := serve(t)
	where := "/api/jobs/" + s.job("Garage", `{"version":1,"name":"Garage","date":"2026-05-12","site":{"country":"GB-ENG"},
		"deck":{"name":"main","outline":[[0,0],[4,0],[4,3],[0,3]],"edges":["drip","moat","wall","kerb"]}}`).ID
	for _, path := range []string{"/papers", "/papers/site.pdf"} {
		x := s.refusedAs(s.do(ask{method: "GET", path: where + path}), http.StatusUnprocessableEntity, "faults")
		if x.Place != "roof.yaml" || len(x.Faults) == 0 {
			t.Fatalf("told as %+v", x)
		}
		told := false
		for _, f := range x.Faults {
			told = told || strings.Contains(f.Message, "moat") && f.Code != "" && f.Remedy != ""
		}
		if !told {
			t.Errorf("the moat is not told of: %+v", x.Faults)
		}
	}
	// It can be taken away as it is.
	if g := s.get(where+"/roof.yaml", nil); !bytes.Contains(g.body, []byte(`"moat"`)) {
		t.Errorf("the roof file is %s", g.body)
	}
}

func TestARoofFileIsSavedAsItIsWritten(t *testing.T) {
	s := serve(t)
	where := "/api/jobs/" + s.job("Garage", example(t, "r04-l-shape")).ID
	g := s.get(where+"/roof.yaml", nil)
	if bytes.HasPrefix(g.body, []byte("{")) || !bytes.Contains(g.body, []byte("\ndeck:\n")) || !strings.Contains(g.head.Get("Content-Disposition"), "roof.yaml") {
		t.Errorf("the roof file is %.300s with %v", g.body, g.head)
	}
}

func TestAlternativesAreHeldAgainstEachOther(t *testing.T) {
	s := serve(t)
	roof := example(t, "r01-garage")
	a := s.job("As it is", roof)
	var b, c begun
	s.post("/api/jobs/"+a.ID+"/copy", with{"title": "Longer", "alternative": true}, &b)
	s.post("/api/jobs/"+b.ID+"/states", stateOf("s2", 1, strings.ReplaceAll(roof, "5.6", "7.6")), nil)
	s.post("/api/jobs/"+a.ID+"/copy", with{"title": "Half drawn", "alternative": true}, &c)
	s.post("/api/jobs/"+c.ID+"/states", stateOf("s2", 1, `{"version":1}`), nil)
	var got struct {
		Alternatives []struct {
			ID, Title       string
			Seq             int
			AreaM2          float64 `json:"area_m2"`
			Boards, Buckets int
			WetDays         int `json:"wet_days"`
			Failed, Open    []string
			Refusal         *struct{ Code string }
		}
	}
	s.get("/api/jobs/"+b.ID+"/alternatives", &got)
	if len(got.Alternatives) != 3 {
		t.Fatalf("alternatives: %+v", got)
	}
	p := examples.Plan(t, "r01-garage")
	one, two, three := got.Alternatives[0], got.Alternatives[1], got.Alternatives[2]
	if one.AreaM2 != p.Totals.NetM2 || one.Boards != p.Totals.Boards || one.WetDays != p.WetDays() || one.Buckets != p.Totals.Buckets || one.Refusal != nil {
		t.Errorf("the first is %+v, want the plan's %+v", one, p.Totals)
	}
	if two.AreaM2 <= one.AreaM2 || two.Seq != 2 || two.Title != "Longer" {
		t.Errorf("the longer roof is %+v", two)
	}
	if three.Refusal == nil || three.Refusal.Code != "faults" || three.AreaM2 != 0 {
		t.Errorf("the half drawn is %+v", three)
	}
}
