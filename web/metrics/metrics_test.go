package metrics_test

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"gelwright/web"
	"gelwright/web/metrics"
)

var _ web.Watcher = (&metrics.Metrics{}).Watch

func read(t *testing.T, h http.Handler, path string) (int, string) {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest("GET", path, nil))
	raw, err := io.ReadAll(w.Result().Body)
	if err != nil {
		t.Fatal(err)
	}
	return w.Code, string(raw)
}

func TestWhatIsAnsweredIsCounted(t *testing.T) {
	m := metrics.New("of the test")
	m.Watch("/api/jobs/{id}", "GET", 200, 30*time.Millisecond)
	m.Watch("/api/jobs/{id}", "GET", 200, 3*time.Second)
	m.Watch("", "other", 405, time.Microsecond)
	code, text := read(t, m.Handler(), "/metrics")
	for _, want := range []string{
		`gelwright_requests_total{method="GET",route="/api/jobs/{id}",status="200"} 2`,
		`gelwright_requests_total{method="other",route="none",status="405"} 1`,
		`gelwright_request_seconds_bucket{method="GET",route="/api/jobs/{id}",le="0.02"} 0`,
		`gelwright_request_seconds_bucket{method="GET",route="/api/jobs/{id}",le="0.1"} 1`,
		`gelwright_request_seconds_bucket{method="GET",route="/api/jobs/{id}",le="10"} 2`,
		`gelwright_request_seconds_sum{method="GET",route="/api/jobs/{id}"} 3.03`,
		`version="of the test"} 1`, "go_goroutines ", "process_resident_memory_bytes ",
	} {
		if code != http.StatusOK || !strings.Contains(text, want) {
			t.Errorf("%d: the figures lack %q:\n%s", code, want, text)
		}
	}
	if code, _ := read(t, m.Handler(), "/"); code != http.StatusNotFound {
		t.Errorf("/ answers %d", code)
	}
}

func TestCountedAtOnce(t *testing.T) {
	m := metrics.New("x")
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 100 {
				m.Watch("/", "GET", 200, 0)
				read(t, m.Handler(), "/metrics")
			}
		})
	}
	all.Wait()
	if _, text := read(t, m.Handler(), "/metrics"); !strings.Contains(text, `gelwright_requests_total{method="GET",route="/",status="200"} 800`) {
		t.Error("answers were lost from the count")
	}
}
