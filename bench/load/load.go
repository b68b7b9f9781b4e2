package load

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"slices"
	"sync"
	"time"
)

// Crowd is who asks, for how long, and how long each rests between two questions.
type Crowd struct {
	People     int
	For, Pause time.Duration
}

// act is something that somebody does: a name by which it is told, how often of a hundred, and the question.
type act struct {
	name  string
	share int
	ask   func(p *person) (method, path string, body any)
}

// acts are those of an office in the morning: much is looked at, some papers are fetched, now and then something is kept.
var acts = []act{
	{"list of jobs", 25, func(*person) (string, string, any) { return http.MethodGet, "/api/jobs?size=20", nil }},
	{"one job", 30, func(p *person) (string, string, any) { return http.MethodGet, "/api/jobs/" + p.job, nil }},
	{"job book", 5, func(*person) (string, string, any) { return http.MethodGet, "/api/office/chart?size=20", nil }},
	{"a paper", 20, func(p *person) (string, string, any) {
		return http.MethodGet, "/api/jobs/" + p.read + "/papers/" + papersRead[p.chance.IntN(len(papersRead))], nil
	}},
	{"saving", 20, func(p *person) (string, string, any) {
		p.saved++
		change := fmt.Sprint("change ", p.saved)
		return http.MethodPost, "/api/jobs/" + p.job + "/states", state(fmt.Sprint(p.job, "-", p.saved), p.seq, change, p.roof)
	}},
}

var papersRead = []string{"site.pdf", "site.html", "labels.pdf", "lists/pieces.csv"}

// person is one of the crowd, who works on a job of his own and reads the papers of one that others read too.
type person struct {
	job, read string
	seq       int
	saved     int
	roof      json.RawMessage
	chance    *rand.Rand
}

// state is a state of a job, as the API takes it.
func state(id string, basedOn int, what string, roof json.RawMessage) map[string]any {
	return map[string]any{"id": id, "based_on": basedOn, "who": "Asha", "what": what, "document": map[string]any{"roof": roof}}
}

// Answers are how long the answers to one kind of question took, in milliseconds, and how many were none or a refusal.
type Answers struct {
	Name   string
	MS     []float64
	Errors int
	First  error // of the errors
}

// At is how long the answers took that are slower than a share of them, 0 to 1; 0 of none.
func (a *Answers) At(share float64) float64 {
	if len(a.MS) == 0 {
		return 0
	}
	slices.Sort(a.MS)
	return a.MS[min(int(math.Ceil(share*float64(len(a.MS)))), len(a.MS))-1]
}

// Ask has a crowd ask a server until its time is over; each person has a job that was begun, and reads one of those that all read.
func (c Crowd) Ask(ctx context.Context, server string, people []*person) []*Answers {
	ctx, end := context.WithTimeout(ctx, c.For)
	defer end()
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: c.People, MaxConnsPerHost: c.People}}
	var mu sync.Mutex
	of := map[string]*Answers{}
	tell := func(name string, took time.Duration, err error) {
		mu.Lock()
		defer mu.Unlock()
		a := of[name]
		if a == nil {
			a = &Answers{Name: name}
			of[name] = a
		}
		if err != nil {
			a.Errors++
			a.First = cmp.Or(a.First, err)
			return
		}
		a.MS = append(a.MS, float64(took.Microseconds())/1000)
	}
	var all sync.WaitGroup
	for _, p := range people {
		all.Go(func() {
			rest(ctx, time.Duration(p.chance.Float64()*float64(c.Pause))) // not all come at the same moment
			for ctx.Err() == nil {
				a := p.chooses()
				began := time.Now()
				err := p.does(ctx, client, server, a)
				if ctx.Err() != nil {
					return // what was under way at the end is not counted
				}
				tell(a.name, time.Since(began), err)
				rest(ctx, time.Duration((0.5+p.chance.Float64())*float64(c.Pause)))
			}
		})
	}
	all.Wait()
	var out []*Answers
	whole := &Answers{Name: "all"}
	for _, a := range acts {
		if x := of[a.name]; x != nil {
			out = append(out, x)
			whole.MS, whole.Errors, whole.First = append(whole.MS, x.MS...), whole.Errors+x.Errors, cmp.Or(whole.First, x.First)
		}
	}
	return append(out, whole)
}

func rest(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// chooses is what somebody does next.
func (p *person) chooses() act {
	n := p.chance.IntN(100)
	for _, a := range acts {
		if n -= a.share; n < 0 {
			return a
		}
	}
	return acts[0]
}

// does asks, reads the whole answer, and remembers what was kept.
func (p *person) does(ctx context.Context, client *http.Client, server string, a act) error {
	method, path, body := a.ask(p)
	status, raw, err := send(ctx, client, method, server+path, body)
	switch {
	case err != nil:
		return err
	case status >= http.StatusBadRequest:
		return fmt.Errorf("%s %s: %d %.200s", method, path, status, raw)
	case a.name == "saving":
		var kept struct{ Seq int }
		if err := json.Unmarshal(raw, &kept); err == nil && kept.Seq > 0 {
			p.seq = kept.Seq
		}
	}
	return nil
}

// send asks once.
func send(ctx context.Context, client *http.Client, method, address string, body any) (int, []byte, error) {
	var b bytes.Buffer
	if body != nil {
		if err := json.NewEncoder(&b).Encode(body); err != nil {
			return 0, nil, err
		}
	}
	r, err := http.NewRequestWithContext(ctx, method, address, &b)
	if err != nil {
		return 0, nil, err
	}
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	w, err := client.Do(r)
	if err != nil {
		return 0, nil, err
	}
	raw, err := io.ReadAll(w.Body)
	return w.StatusCode, raw, errors.Join(err, w.Body.Close())
}
