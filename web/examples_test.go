package web_test

import (
	"net/http"
	"os"
	"testing"
)

func TestExamplesAreGivenAsTheyStand(t *testing.T) {
	s := serve(t)
	var list struct {
		Examples []struct{ Name, Title string }
	}
	s.get("/api/examples", &list)
	if len(list.Examples) != 12 || list.Examples[0].Name != "r01-garage" || list.Examples[0].Title != "Garage at Lower Mill" {
		t.Errorf("the examples are %v", list.Examples)
	}
	for _, e := range list.Examples {
		want, err := os.ReadFile("../examples/" + e.Name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		if g := s.get("/api/examples/"+e.Name, nil); string(g.body) != string(want) || e.Title == "" {
			t.Errorf("%s (%q) is not given as it stands", e.Name, e.Title)
		}
	}
	for _, path := range []string{"/api/examples/firm", "/api/examples/r99", "/api/examples/..%2Fgo.mod", "/api/examples/r01-garage.yaml"} {
		s.refusedAs(s.do(ask{method: "GET", path: path}), http.StatusNotFound, "unknown")
	}
}
