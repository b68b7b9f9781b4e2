package web_test

import (
	"bytes"
	"net/http"
	"strings"
	"testing"
)

func TestFilesAreKeptAndSealed(t *testing.T) {
	s := serve(t)
	path := "/api/jobs/" + s.job("Garage", `{}`).ID
	put := func(name, media, body string) got {
		return s.do(ask{method: "PUT", path: path + "/files/" + name, body: body, heads: []string{"Content-Type: " + media}})
	}
	light := picture(t, "jpeg", 3, 2)
	for range 2 { // sent again it is kept already
		if g := put("roof%201.jpg?who=Asha", "image/jpeg", light); g.status != http.StatusCreated {
			t.Fatalf("kept: %d %s", g.status, g.body)
		}
	}
	s.refusedAs(put("roof%201.jpg", "image/jpeg", picture(t, "jpeg", 9, 9)), http.StatusConflict, "clash")
	g := s.get(path+"/files/roof%201.jpg", nil)
	if string(g.body) != light || g.head.Get("Content-Type") != "image/jpeg" ||
		!strings.HasSuffix(g.head.Get("Content-Security-Policy"), "sandbox") {
		t.Errorf("given back: %q %v", g.body, g.head)
	}
	// What may hold a script is not shown, and is of no kind that runs.
	for _, x := range [][2]string{{"x.html", "text/html"}, {"x.svg", "image/svg+xml"}, {"x.js", "text/javascript"}, {"x.wasm", "application/wasm"}} {
		if g := put(x[0], x[1], "<script>alert(1)</script>"); g.status != http.StatusCreated {
			t.Fatalf("%s: %d %s", x[0], g.status, g.body)
		}
		g := s.get(path+"/files/"+x[0], nil)
		if g.head.Get("Content-Type") != "application/octet-stream" || !strings.HasPrefix(g.head.Get("Content-Disposition"), "attachment") {
			t.Errorf("%s is given as %v", x[0], g.head)
		}
	}
	var list struct {
		Files []struct {
			Name, Who string
			Size      int
		}
	}
	if s.get(path+"/files", &list); len(list.Files) != 5 || list.Files[0].Name != "roof 1.jpg" || list.Files[0].Who != "Asha" || list.Files[0].Size != len(light) {
		t.Errorf("listed: %+v", list)
	}
	for name, code := range map[string]string{"..%2Fx.jpg": "refused", "%2e%2e%5cx": "refused", "a%00b": "refused", ".hidden": "refused", "x%2Fy.jpg": "refused",
		"C%3Ax": "refused"} {
		s.refusedAs(put(name, "image/jpeg", light), http.StatusBadRequest, code)
	}
	s.refusedAs(put("x.jpg", "", "x"), http.StatusBadRequest, "media")
	s.refusedAs(s.do(ask{method: "GET", path: path + "/files/none.jpg"}), http.StatusNotFound, "unknown")
	s.refusedAs(s.do(ask{method: "GET", path: path + "/files/..%2F..%2Fgelwright.db"}), http.StatusNotFound, "unknown")
}

// smallSky is a forecast of two hours.
func smallSky(airC string) string {
	return "time,air_c,rh_pct,wind_ms,rain_mm\n2026-05-12T09:00," + airC + ",60,2,0\n2026-05-12T10:00," + airC + ",60,2,0\n"
}

// A job has one forecast: a newer one takes its place, and what was kept stays.
func TestANewerForecastTakesThePlace(t *testing.T) {
	s := serve(t)
	path := "/api/jobs/" + s.job("Garage", `{}`).ID
	if g := s.do(ask{method: "GET", path: path + "/files/forecast.csv"}); g.status != http.StatusNoContent {
		t.Errorf("before there is one: %d %s", g.status, g.body)
	}
	one, two := smallSky("12"), smallSky("13")
	for _, text := range []string{one, two, two, one} {
		if g := s.do(ask{method: "PUT", path: path + "/files/forecast.csv", body: text, heads: []string{"Content-Type: text/csv"}}); g.status != http.StatusCreated {
			t.Fatalf("%s: %d %s", text, g.status, g.body)
		}
		if g := s.get(path+"/files/forecast.csv", nil); string(g.body) != text {
			t.Errorf("given back: %q, want %q", g.body, text)
		}
	}
	var list struct{ Files []struct{ Name string } }
	if s.get(path+"/files", &list); len(list.Files) != 3 {
		t.Errorf("kept: %+v", list)
	}
}

func TestAJobGoesOutAndComesIn(t *testing.T) {
	a, b := serve(t), serve(t)
	path := "/api/jobs/" + a.job("Garage at Lower Mill", `{"n":1}`).ID
	a.post(path+"/states", stateOf("s2", 1, `{"n":2}`), nil)
	a.do(ask{method: "PUT", path: path + "/files/forecast.csv", body: smallSky("12"), heads: []string{"Content-Type: text/csv"}})
	out := a.get(path+"/export", nil)
	if out.head.Get("Content-Type") != "application/zip" || !strings.Contains(out.head.Get("Content-Disposition"), "garage-at-lower-mill.zip") {
		t.Errorf("given as %v", out.head)
	}
	if again := a.get(path+"/export", nil); !bytes.Equal(out.body, again.body) {
		t.Error("the same job gives other bytes")
	}
	in := b.do(ask{method: "POST", path: "/api/jobs/import", body: string(out.body), heads: []string{"Content-Type: application/zip"}})
	if in.status != http.StatusCreated {
		t.Fatalf("taken in: %d %s", in.status, in.body)
	}
	if got := b.get(path+"/export", nil); !bytes.Equal(out.body, got.body) {
		t.Error("what came in goes out otherwise")
	}
	for _, body := range []string{"", "PK", string(out.body[:len(out.body)/2]), string(out.body[1:])} {
		b.refusedAs(b.do(ask{method: "POST", path: "/api/jobs/import", body: body, heads: []string{"Content-Type: application/zip"}}),
			http.StatusUnprocessableEntity, "damaged")
	}
	b.refusedAs(b.do(ask{method: "GET", path: noJob + "/export"}), http.StatusNotFound, "unknown")
}
