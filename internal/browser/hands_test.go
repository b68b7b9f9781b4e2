package browser

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// A page of the tests' own, to prove the hands before they are used: what is tapped, dragged and typed arrives, what is wrong
// with a page is found.
const handsPage = `<!doctype html><html lang="en"><meta name="viewport" content="width=device-width,initial-scale=1"><title>Hands</title><main><h1>Hands</h1>
<label>Length <input id="length"></label> <button id="add">Add an edge</button> <ul aria-label="Edges" id="edges"></ul>
<svg width="200" height="100" role="group" aria-label="Sheet"><circle cx="40" cy="50" r="20" role="img" aria-label="Corner 1"/></svg></main>
<script>
document.getElementById("add").onclick = () => { const li = document.createElement("li"); li.textContent = document.getElementById("length").value;
  document.getElementById("edges").append(li); };
const c = document.querySelector("circle"); let down = false;
document.querySelector("svg").style.touchAction = "none";
c.onpointerdown = (e) => { down = true; c.setPointerCapture(e.pointerId); };
c.onpointermove = (e) => { if (down) c.setAttribute("cx", e.offsetX); };
c.onpointerup = (e) => { down = false; c.setAttribute("aria-label", "Corner 1 moved"); };
</script></html>`

func handsServer(t *testing.T, html string) string {
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprint(w, html)
	}))
	t.Cleanup(s.Close)
	return s.URL + "/"
}

func TestHandsFindTapTypeAndDrag(t *testing.T) {
	for name, l := range map[string]look{"phone": phone, "desk": desk} {
		t.Run(name, func(t *testing.T) {
			needs(t)
			s := open(t, handsServer(t, handsPage), l)
			s.fill("textbox", "Length", "6.20")
			s.tap("button", "Add an .*")
			if got := len(s.things("listitem", ".*")); got != 1 {
				t.Errorf("%d edges, want 1", got)
			}
			from := s.middle(s.find("image", "Corner 1"))
			s.drag(from, at{from.x + 80, from.y})
			s.find("image", "Corner 1 moved")
			if cx := eval[string](s, `document.querySelector("circle").getAttribute("cx")`); cx != "120" {
				t.Errorf("the corner is at %s, want 120", cx)
			}
			s.forgiven() // the page has no icon
		})
	}
}

// A page that asks another host is caught.
func TestAnotherHostIsSeen(t *testing.T) {
	needs(t)
	s := open(t, handsServer(t, `<!doctype html><title>x</title><img src="http://roofs.example/x.png" alt="x">`), desk)
	seen := ""
	s.until("another place is asked", func() bool { seen += fmt.Sprint(s.forgiven()); return len(seen) > 60 })
}

// So is a worker that does.
func TestAWorkersRequestToAnotherHostIsSeen(t *testing.T) {
	needs(t)
	s := open(t, handsServer(t, `<!doctype html><html lang="en"><title>x</title><button id="ask">Ask</button><script>
const w = new Worker(URL.createObjectURL(new Blob(["onmessage = () => fetch('http://roofs.example/x.json').catch(() => {})"])));
document.getElementById("ask").onclick = () => w.postMessage(1);</script></html>`), desk)
	s.until("the worker is watched", func() bool { s.workers(); return len(s.watched) == 1 })
	s.forgiven()
	s.tap("button", "Ask")
	seen := ""
	s.until("the worker asks another place", func() bool {
		seen += fmt.Sprint(s.forgiven())
		return strings.Contains(seen, "another place is asked: http://roofs.example/x.json")
	})
	s.forgiven()
}
