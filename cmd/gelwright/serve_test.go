package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// running is 'gelwright serve' as a process of its own.
type running struct {
	t        *testing.T
	cmd      *exec.Cmd
	url, job string
	errs     bytes.Buffer
}

// serveIn starts the program on a folder of jobs.
func serveIn(t *testing.T, data string, more ...string) *running {
	t.Helper()
	return serveWith(t, append([]string{"--data", data}, more...)...)
}

// serveWith starts the program as it is said, on what the environment says.
func serveWith(t *testing.T, args ...string) *running {
	t.Helper()
	r := &running{t: t, cmd: exec.Command("gelwright", append([]string{"serve"}, args...)...)}
	r.cmd.Stderr = &r.errs
	out, err := r.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := r.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.cmd.Process.Kill() })
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		r.cmd.Wait()
		t.Fatalf("no address was printed: %v\n%s", err, r.errs.String())
	}
	r.url, r.job, _ = strings.Cut(strings.TrimSpace(line), "#job=")
	return r
}

// get asks for a path that must be there.
func (r *running) get(path string) []byte {
	r.t.Helper()
	w, err := http.Get(r.url + path)
	if err != nil {
		r.t.Fatal(err)
	}
	defer w.Body.Close()
	body, err := io.ReadAll(w.Body)
	if err != nil || w.StatusCode != http.StatusOK {
		r.t.Fatalf("GET %s: %d %.300s (%v)", path, w.StatusCode, body, err)
	}
	return body
}

// post sends a question and reports the answer's number; an error where there was no answer.
func (r *running) post(path string, body any) (seq int, id string, err error) {
	raw, err := json.Marshal(body)
	if err != nil {
		return 0, "", err
	}
	w, err := http.Post(r.url+path, "application/json", bytes.NewReader(raw))
	if err != nil {
		return 0, "", err
	}
	defer w.Body.Close()
	var got struct {
		Seq int
		ID  string
	}
	if err := json.NewDecoder(w.Body).Decode(&got); err != nil {
		return 0, "", err
	}
	if w.StatusCode != http.StatusCreated {
		return 0, "", fmt.Errorf("POST %s: %d", path, w.StatusCode)
	}
	return got.Seq, got.ID, nil
}

// end tells the program to end and holds it to exit code 0.
func (r *running) end() {
	r.t.Helper()
	if err := r.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		r.t.Fatal(err)
	}
	if err := r.cmd.Wait(); err != nil {
		r.t.Errorf("told to end: %v\n%s", err, r.errs.String())
	}
}

func TestServeOpensARoofOnce(t *testing.T) {
	data := t.TempDir()
	roof := filepath.Join("..", "..", "examples", "r01-garage.yaml")
	first := serveIn(t, data, "--open", roof)
	if !strings.HasPrefix(first.url, "http://127.0.0.1:") || len(first.job) != 32 {
		t.Fatalf("the address is %s, the job %s", first.url, first.job)
	}
	if page := first.get("api/jobs/" + first.job); !bytes.Contains(page, []byte(`"title":"Garage at Lower Mill"`)) {
		t.Errorf("the job is %.300s", page)
	}
	first.end()
	second := serveIn(t, data, "--open", roof)
	if second.job != first.job {
		t.Errorf("opened again it is job %s, was %s", second.job, first.job)
	}
	if list := second.get("api/jobs"); !bytes.Contains(list, []byte(`"total":1`)) {
		t.Errorf("the jobs are %s", list)
	}
	second.end()
	if code := run([]string{"serve", "--data", data, "--open", filepath.Join("testdata", "none.yaml")}, nil, io.Discard, io.Discard); code != exitFaults {
		t.Errorf("a roof file that is not there: exit code %d", code)
	}
	if code := run([]string{"serve", "--data", data, "--rate", "-5"}, nil, io.Discard, io.Discard); code != exitUsage {
		t.Errorf("fewer requests than none: exit code %d", code)
	}
}

// Every paper from the page is that of the command line, which plans the roof file that was saved from the page.
func TestServePapersAreThoseOfTheCommandLine(t *testing.T) {
	if testing.Short() {
		t.Skip("all papers, twice")
	}
	dir := t.TempDir()
	s := serveIn(t, filepath.Join(dir, "data"), "--open", filepath.Join("..", "..", "examples", "r01-garage.yaml"))
	at := "api/jobs/" + s.job
	roof := filepath.Join(dir, "roof.yaml")
	if err := os.WriteFile(roof, s.get(at+"/roof.yaml"), 0o644); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "out")
	var errs bytes.Buffer
	if code := run([]string{"plan", roof, "--out", out, "--quiet"}, nil, io.Discard, &errs); code != exitDone {
		t.Fatalf("plan: exit code %d, %s", code, errs.String())
	}
	var list struct{ Papers []struct{ Name string } }
	if err := json.Unmarshal(s.get(at+"/papers"), &list); err != nil {
		t.Fatal(err)
	}
	var m manifest
	raw, err := os.ReadFile(filepath.Join(out, packManifest))
	if err != nil || json.Unmarshal(raw, &m) != nil || len(m.Files) != len(list.Papers) || len(m.Files) == 0 {
		t.Fatalf("%d papers from the page, %d of the command line (%v)", len(list.Papers), len(m.Files), err)
	}
	for _, f := range m.Files {
		if sumOf(s.get(at+"/papers/"+f.Name)) != f.SHA256 {
			t.Errorf("%s is another from the page", f.Name)
		}
	}
	s.end()
}

// Killed in the middle of saving, again and again: every state that was acknowledged is there, with what it held, and the
// states have no gap.
func TestServeKeepsWhatItAcknowledged(t *testing.T) {
	if testing.Short() {
		t.Skip("twenty starts of the program")
	}
	random := rand.New(rand.NewPCG(20261, 1))
	data := t.TempDir()
	s := serveIn(t, data)
	_, id, err := s.post("api/jobs", map[string]any{"title": "Garage", "who": "Asha", "state": documentState("s1", 1)})
	if err != nil {
		t.Fatal(err)
	}
	at := "api/jobs/" + id
	newest, kept := 1, map[int]int{1: 1} // the value that each acknowledged state holds
	for round := range 20 {
		after := time.Duration(5+random.IntN(120)) * time.Millisecond
		timer := time.AfterFunc(after, func() { s.cmd.Process.Kill() })
		for n := 1; ; n++ {
			value := 1000*(round+1) + n
			state := documentState(fmt.Sprint("s", value), value)
			state["based_on"], state["who"] = newest, "Asha"
			seq, _, err := s.post(at+"/states", state)
			if err != nil {
				break // killed
			}
			newest, kept[seq] = seq, value
		}
		timer.Stop()
		s.cmd.Wait()
		s = serveIn(t, data)
		var now struct{ Seq int }
		if err := json.Unmarshal(s.get(at), &now); err != nil {
			t.Fatal(err)
		}
		// One more may be there than was acknowledged: its answer was on the way.
		if now.Seq < newest || now.Seq > newest+1 {
			t.Fatalf("round %d: %d states are there, %d were acknowledged", round, now.Seq, newest)
		}
		newest = now.Seq
	}
	if len(kept) < 20 {
		t.Errorf("only %d states were acknowledged: the program was killed too soon to prove anything", len(kept))
	}
	for seq, value := range kept {
		var got struct {
			Document struct{ Roof struct{ N int } }
		}
		if err := json.Unmarshal(s.get(fmt.Sprintf("%s/states/%d", at, seq)), &got); err != nil || got.Document.Roof.N != value {
			t.Errorf("state %d holds %d, want %d (%v)", seq, got.Document.Roof.N, value, err)
		}
	}
	s.end()
}

func documentState(id string, n int) map[string]any {
	return map[string]any{"id": id, "what": "changed", "document": map[string]any{"roof": map[string]any{"n": n}}}
}
