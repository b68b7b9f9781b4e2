package work_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	sheets "gelwright/office"
	"gelwright/store"
	"gelwright/work"
)

// service is a weather service on this computer, which speaks as the public ones do.
type service struct {
	*httptest.Server
	mu     sync.Mutex
	answer http.HandlerFunc
	asked  []*http.Request
}

func newService(t *testing.T) *service {
	t.Helper()
	s := &service{}
	s.Server = httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.asked = append(s.asked, r)
		s.answer(w, r)
	}))
	t.Cleanup(s.Close)
	return s
}

func (s *service) says(answer http.HandlerFunc) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.answer = answer
}

func (s *service) times() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.asked)
}

// inForce gives a stored answer of one of the services, on condition.
func inForce(t *testing.T, etag string) http.HandlerFunc {
	t.Helper()
	raw, err := os.ReadFile("../weather/forecast/testdata/metno_london_2020-07-20.json")
	if err != nil {
		t.Fatal(err)
	}
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("ETag", etag)
		w.Header().Set("Last-Modified", "Mon, 20 Jul 2020 08:00:00 GMT")
		w.Header().Set("Cache-Control", "max-age=1800")
		if r.Header.Get("If-None-Match") == etag {
			w.WriteHeader(http.StatusNotModified)
			return
		}
		w.Write(raw)
	}
}

// clock is a clock that the test moves.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(time.Millisecond)
	return c.at
}

func (c *clock) on(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

// firm gives a job a firm file that names the service.
func (o *office) firm(job store.ID, s *service) {
	o.Helper()
	text := fmt.Sprintf("version: 1\nforecast: {address: %q, contact: office@example.org}\n", s.URL+"/f?lat={lat}&lon={lon}&altitude={elev}")
	if _, err := o.jobs.PutFile(o.Context(), job, store.NewFile{Name: "firm.yaml", MediaType: "application/yaml",
		When: time.Date(2020, 5, 11, 9, 0, 0, 0, time.UTC), Who: "Asha", Bytes: []byte(text)}); err != nil {
		o.Fatal(err)
	}
}

// settled waits until no work is under way or due.
func (o *office) settled() []work.Work {
	o.Helper()
	for round := 0; ; round++ {
		open, err := o.queue.List(o.Context(), work.Ask{Open: true})
		if round == 1000 {
			list, _ := o.queue.List(o.Context(), work.Ask{})
			o.Fatalf("%+v", list)
		}
		if err != nil {
			o.Fatal(err)
		}
		if len(open) == 0 {
			list, err := o.queue.List(o.Context(), work.Ask{})
			if err != nil {
				o.Fatal(err)
			}
			return list
		}
		select {
		case <-o.Context().Done():
			o.Fatalf("still open: %+v", open)
		case <-time.After(5 * time.Millisecond):
		}
	}
}

func TestTheWeatherOfAPlaceIsAskedForOnceAndPlannedUnder(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		o, s := open(), newService(t)
		s.says(inForce(t, `"v1"`))
		at := &clock{at: time.Date(2020, 7, 20, 9, 0, 0, 0, time.UTC)}
		o.queue.Now = at.now
		var jobs []store.ID
		for i := range 5 {
			id := o.job(fmt.Sprintf("Garage %d", i), "r01-garage")
			o.firm(id, s)
			o.stands(id, sheets.OpenStages()[i%3])
			jobs = append(jobs, id)
		}
		o.worker(work.Settings{HTTP: s.Client()})
		if _, err := o.queue.Morning(t.Context(), "Asha"); err != nil {
			t.Fatal(err)
		}
		for _, w := range o.settled() {
			if w.State != work.Done {
				t.Errorf("%+v", w)
			}
		}
		if s.times() != 1 {
			t.Errorf("five jobs of one place have the service asked %d times", s.times())
		}
		if q := s.asked[0]; q.URL.RawQuery != "lat=52.4100&lon=-1.7300&altitude=100" || q.UserAgent() != "office@example.org" {
			t.Errorf("asked %s as %s", q.URL, q.UserAgent())
		}
		for _, id := range jobs {
			c, err := o.queue.Chance(t.Context(), id)
			if err != nil || c.Credit != "Forecast: MET Norway, CC BY 4.0" || c.P < 0 || c.Verdict == work.NoWeather || c.Verdict == work.Faulty {
				t.Errorf("%+v (%v)", c, err)
			}
		}
		sky, err := o.queue.Sky(t.Context(), jobs[0])
		if err != nil || sky.Forecasts != 1 || sky.Credit == "" || sky.Fetched.IsZero() || sky.Place != "52.41 -1.73 100" {
			t.Errorf("kept of the place: %+v (%v)", sky, err)
		}

		// Before its answer expires nobody is asked; afterwards on condition, and what has not changed is kept once.
		for _, c := range []struct {
			on    time.Duration
			times int
			said  string
		}{{time.Minute, 1, "Nothing new"}, {time.Hour, 2, "Nothing new"}} {
			at.on(c.on)
			w, err := o.queue.Fetch(t.Context(), jobs[1], "Asha")
			if err != nil {
				t.Fatal(err)
			}
			if w = o.ended(w.ID); w.State != work.Done || !strings.HasPrefix(w.Said, c.said) || s.times() != c.times {
				t.Errorf("after %s: asked %d times, %+v", c.on, s.times(), w)
			}
		}
		if h := s.asked[1].Header; h.Get("If-None-Match") != `"v1"` || h.Get("If-Modified-Since") != "Mon, 20 Jul 2020 08:00:00 GMT" {
			t.Errorf("asked again without condition: %v", h)
		}
		if sky, err = o.queue.Sky(t.Context(), jobs[0]); err != nil || sky.Forecasts != 1 {
			t.Errorf("kept twice: %+v (%v)", sky, err)
		}
	})
}

// The round of the morning is for open jobs: what is not ordered yet, what is handed over, and what is retired is left alone.
func TestTheRoundOfTheMorningIsForOpenJobs(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		o := open()
		o.queue.Now = (&clock{at: time.Date(2020, 7, 20, 9, 0, 0, 0, time.UTC)}).now
		o.worker(work.Settings{})
		o.job("no sheet", "r01-garage")
		o.stands(o.job("design", "r01-garage"), sheets.Design)
		o.stands(o.job("aftercare", "r01-garage"), sheets.Aftercare)
		o.stands(o.job("not taken", "r01-garage"), sheets.NotTaken)
		gone := o.job("gone", "r01-garage")
		o.stands(gone, sheets.OnTheRoof)
		if err := o.jobs.Retire(t.Context(), gone, store.Retirement{When: time.Now(), Who: "Asha"}); err != nil {
			t.Fatal(err)
		}
		round := func() string {
			w, err := o.queue.Morning(t.Context(), "Asha")
			if err != nil {
				t.Fatal(err)
			}
			return o.ended(w.ID).Said
		}
		if said := round(); said != "No job is open: those are that the office has at order, on the roof or hand-over." {
			t.Errorf("nothing is open: %q", said)
		}
		for _, at := range []sheets.Stage{sheets.Order, sheets.OnTheRoof, sheets.HandOver} {
			o.stands(o.job(string(at), "r01-garage"), at)
		}
		o.queue.Now = (&clock{at: time.Date(2020, 7, 21, 9, 0, 0, 0, time.UTC)}).now
		if said := round(); !strings.HasPrefix(said, "3 open jobs are planned again;") {
			t.Errorf("three are open: %q", said)
		}
	})
}

func TestAServiceThatDoesNotAnswerIsLeftAlone(t *testing.T) {
	o, s := open(t, t.TempDir()), newService(t)
	at := &clock{at: time.Date(2020, 7, 20, 9, 0, 0, 0, time.UTC)}
	o.queue.Now = at.now
	job := o.job("Garage", "r01-garage")
	o.firm(job, s)
	o.worker(work.Settings{HTTP: s.Client(), Patience: 200 * time.Millisecond})
	fetch := func() work.Work {
		t.Helper()
		w, err := o.queue.Fetch(t.Context(), job, "Asha")
		if err != nil {
			t.Fatal(err)
		}
		return o.ended(w.ID)
	}
	cancel := func() {
		t.Helper()
		open, err := o.queue.List(t.Context(), work.Ask{Open: true})
		if err != nil || len(open) != 1 || open[0].Kind != "weather" {
			t.Fatalf("ordered for later: %+v (%v)", open, err)
		}
		if _, err := o.queue.Cancel(t.Context(), open[0].ID, "test"); err != nil {
			t.Fatal(err)
		}
	}
	s.says(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Retry-After", "7200")
		w.WriteHeader(http.StatusTooManyRequests)
	})
	if w := fetch(); w.State != work.Failed || !strings.HasPrefix(w.Said, "Failed: ") || !strings.Contains(w.Said, "429") || !strings.Contains(w.Said, "after 20 July 11:0") ||
		!strings.Contains(w.Said, "No forecast is kept") {
		t.Errorf("refused: %+v", w)
	}
	cancel()
	// Within the two hours that it asked for it is not asked, by whomever.
	s.says(inForce(t, `"v1"`))
	at.on(time.Hour)
	if w := fetch(); s.times() != 1 || w.State != work.Failed || !strings.Contains(w.Said, "left alone until 20 July 11:0") {
		t.Errorf("asked %d times: %+v", s.times(), w)
	}
	at.on(2 * time.Hour)
	if w := fetch(); s.times() != 2 || !strings.Contains(w.Said, "is kept. Forecast: MET Norway") {
		t.Errorf("asked %d times: %+v", s.times(), w)
	}
	o.settled()
	// Offline is normal: what is kept stands, and its age is told.
	at.on(5 * time.Hour)
	s.says(func(_ http.ResponseWriter, r *http.Request) { <-r.Context().Done() })
	if w := fetch(); w.State != work.Failed || !strings.Contains(w.Said, "did not answer within") || !strings.Contains(w.Said, "kept is 5 h old") {
		t.Errorf("silent: %+v", w)
	}
	cancel()
	if c, err := o.queue.Chance(t.Context(), job); err != nil || c.Verdict == work.NoWeather {
		t.Errorf("planned under what is kept: %+v (%v)", c, err)
	}
	// A service that is not there is told of in words, with what to do.
	at.on(7 * time.Hour)
	s.Close()
	if w := fetch(); w.State != work.Failed || !strings.Contains(w.Said, "nobody listens there; check the address in the firm file") ||
		!strings.Contains(w.Said, "It is asked again after") || strings.Contains(w.Said, "dial") {
		t.Errorf("gone: %+v", w)
	}
}

func TestReadingsOnSiteTeachHowThePlacesForecastsErr(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		o, s := open(), newService(t)
		s.says(inForce(t, `"v1"`))
		at := &clock{at: time.Date(2020, 7, 20, 9, 0, 0, 0, time.UTC)}
		o.queue.Now = at.now
		job := o.job("Garage", "r01-garage")
		o.firm(job, s)
		o.worker(work.Settings{HTTP: s.Client()})
		w, err := o.queue.Fetch(t.Context(), job, "Asha")
		if err != nil {
			t.Fatal(err)
		}
		o.ended(w.ID)
		o.settled()
		before, err := o.queue.Chance(t.Context(), job)
		if err != nil || before.Learnt != "" {
			t.Fatal(before, err)
		}
		// Ten hours of readings, each far colder than any July day was said to be.
		csv := "time,air_c,rh_pct,wind_ms,rain_mm\n"
		for h := range 10 {
			csv += fmt.Sprintf("2020-07-20T%02d:00Z,5,80,3,0\n", 10+h)
		}
		said, err := o.queue.AddReadings(t.Context(), job, "readings.csv", "Ben", []byte(csv))
		if err != nil || !strings.Contains(said, "10 hours are kept") || !strings.Contains(said, "too warm by day") {
			t.Fatalf("%q (%v)", said, err)
		}
		// The same file again changes nothing.
		if again, err := o.queue.AddReadings(t.Context(), job, "readings.csv", "Ben", []byte(csv)); err != nil || again != said {
			t.Errorf("%q (%v)", again, err)
		}
		o.settled()
		after, err := o.queue.Chance(t.Context(), job)
		if err != nil || after.Learnt == "" || !strings.Contains(said, after.Learnt) || after.Runs != before.Runs+1 {
			t.Errorf("planned under it: %+v (%v)", after, err)
		}
		if _, err := o.queue.AddReadings(t.Context(), job, "x.csv", "Ben", []byte("no table")); err == nil {
			t.Error("what is no table is kept")
		}
		sky, err := o.queue.Sky(t.Context(), job)
		if err != nil || sky.Readings != 1 || sky.Learnt != after.Learnt {
			t.Errorf("kept: %+v (%v)", sky, err)
		}
	})
}
