package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"testing"
)

func stateOf(id string, basedOn int, roof string) with {
	return with{"id": id, "based_on": basedOn, "who": "Ben", "what": "corner moved", "document": json.RawMessage(`{"roof":` + roof + `}`)}
}

type history struct {
	States []struct {
		Seq, Restored       int
		ID, Who, What, When string
	}
	More bool
}

func TestStatesFollowOneAnother(t *testing.T) {
	s := serve(t)
	j := s.job("Garage", `{"name":"Garage","n":1}`)
	path := "/api/jobs/" + j.ID
	for n := 2; n <= 4; n++ {
		var got struct{ Seq int }
		if s.post(path+"/states", stateOf(fmt.Sprint("s", n), n-1, fmt.Sprintf(`{"name":"Garage %d","n":%d}`, n, n)), &got); got.Seq != n {
			t.Fatalf("state %d has number %d", n, got.Seq)
		}
	}
	// Sent again, as after an answer that was lost: the same number, nothing new.
	var again struct{ Seq int }
	if s.post(path+"/states", stateOf("s3", 2, `{"name":"Garage 3","n":3}`), &again); again.Seq != 3 {
		t.Errorf("sent again it has number %d", again.Seq)
	}
	// The same id for something else.
	s.refusedAs(s.do(ask{method: "POST", path: path + "/states", body: jsonOf(t, stateOf("s3", 4, `{"n":9}`))}), http.StatusConflict, "clash")
	// Made from a state that is no longer the newest.
	late := s.refusedAs(s.do(ask{method: "POST", path: path + "/states", body: jsonOf(t, stateOf("late", 2, `{"n":9}`))}), http.StatusConflict, "conflict")
	if n := late.Newest; n == nil || n.Seq != 4 || n.Who != "Ben" || n.What != "corner moved" || n.When == "" {
		t.Errorf("the newest state is told as %+v", late.Newest)
	}
	var one struct {
		Title    string
		Seq      int
		Document struct{ Roof struct{ N int } }
	}
	if s.get(path, &one); one.Seq != 4 || one.Title != "Garage 4" || one.Document.Roof.N != 4 {
		t.Errorf("the job stands at %+v", one)
	}
	if s.get(path+"/states/2", &one); one.Seq != 2 || one.Title != "Garage 2" || one.Document.Roof.N != 2 {
		t.Errorf("state 2 is %+v", one)
	}
	var h history
	if s.get(path+"/states?size=2", &h); len(h.States) != 2 || h.States[0].Seq != 4 || !h.More {
		t.Errorf("history: %+v", h)
	}
	if s.get(path+"/states?before=3", &h); len(h.States) != 2 || h.States[0].Seq != 2 || h.More || h.States[1].Who != "Asha" {
		t.Errorf("history: %+v", h)
	}
}

func TestAnEarlierStateComesBackAsANewOne(t *testing.T) {
	s := serve(t)
	j := s.job("Garage", `{"n":1}`)
	path := "/api/jobs/" + j.ID
	s.post(path+"/states", stateOf("s2", 1, `{"n":2}`), nil)
	for range 2 {
		var got struct{ Seq int }
		if s.post(path+"/restore", with{"seq": 1, "id": "back", "who": "Ben"}, &got); got.Seq != 3 {
			t.Errorf("brought back as %d", got.Seq)
		}
	}
	s.refusedAs(s.do(ask{method: "POST", path: path + "/restore", body: `{"seq":1,"based_on":1,"id":"b2","who":"Ben"}`}), http.StatusConflict, "conflict")
	s.refusedAs(s.do(ask{method: "POST", path: path + "/restore", body: `{"seq":99,"id":"b3","who":"Ben"}`}), http.StatusNotFound, "unknown")
	var one struct {
		Seq      int
		Document struct{ Roof struct{ N int } }
	}
	if s.get(path, &one); one.Seq != 3 || one.Document.Roof.N != 1 {
		t.Errorf("the job stands at %+v", one)
	}
	var h history
	if s.get(path+"/states", &h); len(h.States) != 3 || h.States[0].Restored != 1 || h.States[0].Who != "Ben" {
		t.Errorf("history: %+v", h)
	}
}

func TestUnknownStates(t *testing.T) {
	s := serve(t)
	path := "/api/jobs/" + s.job("Garage", `{}`).ID
	for _, seq := range []string{"0", "2", "-1", "1.0", "one", "99999999999", "1%2F.."} {
		s.refusedAs(s.do(ask{method: "GET", path: path + "/states/" + seq}), http.StatusNotFound, "unknown")
	}
	for _, q := range []string{"?before=x", "?size=-1", "?after=1"} {
		s.refusedAs(s.do(ask{method: "GET", path: path + "/states" + q}), http.StatusBadRequest, "query")
	}
	s.refusedAs(s.do(ask{method: "POST", path: noJob + "/states", body: jsonOf(t, stateOf("s", 1, `{}`))}), http.StatusNotFound, "unknown")
}
