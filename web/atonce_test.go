package web_test

import (
	"net/http"
	"sync"
	"testing"
)

// Everything may be asked at once; the race detector watches.
func TestAskedAtOnce(t *testing.T) {
	s := serve(t)
	var all sync.WaitGroup
	for _, path := range []string{"/", "/api/version", "/api/examples", "/api/examples/r01-garage", "/desk.wasm", "/api/nothing"} {
		for range 4 {
			all.Go(func() {
				if g := s.do(ask{method: "GET", path: path}); g.status != http.StatusOK && g.status != http.StatusNotFound {
					t.Errorf("%s: %d", path, g.status)
				}
			})
		}
	}
	all.Wait()
}
