package web_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// Whatever stands in a path, a query or a body: the answer is one that the description knows, and never a fault of the program.
func FuzzQuestions(f *testing.F) {
	f.Add("GET", "/api/jobs", "find=a&page=0&size=1&retired=1", "")
	f.Add("GET", "/api/jobs/JOB/states/1", "", "")
	f.Add("GET", "/api/jobs/JOB/states/9999999999999999999", "before=-1", "")
	f.Add("GET", "/api/jobs/JOB/files/%2e%2e%2f", "seq=1", "")
	f.Add("GET", "/api/jobs/JOB/papers/a/b", "seq=x&save=yes", "")
	f.Add("GET", "/api/jobs/%00/states", "size=%ff", "")
	f.Add("GET", "/api/examples/..", "", "")
	f.Add("POST", "/api/jobs", "", `{"title":"x","who":"y","state":{"id":"s","document":{"roof":{"name":3}}}}`)
	f.Add("POST", "/api/jobs/JOB/states", "", `{"based_on":1e99,"document":{"roof":{}}}`)
	f.Add("POST", "/api/jobs/JOB/join", "", `{"based_on":1,"choices":{"a":"mine"},"document":{"roof":{"deck":[]},"page":{"doc":{}}}}`)
	f.Add("POST", "/api/jobs/JOB/restore", "", `{"seq":-1,"id":"\u0000"}`)
	f.Add("POST", "/api/jobs/JOB/copy", "", `{"id":"x","alternative":null}`)
	f.Add("POST", "/api/jobs/JOB/retire", "", `{"back":{}}`)
	f.Add("POST", "/api/jobs/import", "", "PK\x03\x04")
	f.Add("PUT", "/api/jobs/JOB/files/a", "who=%zz", "\x00")
	f.Fuzz(func(t *testing.T, method, path, query, body string) {
		s := serve(t)
		job := s.job("Garage", `{}`).ID
		path = strings.ReplaceAll(path, "JOB", job)
		r, err := http.NewRequestWithContext(t.Context(), method, "http://127.0.0.1"+path+"?"+query, strings.NewReader(body))
		if err != nil || !strings.HasPrefix(r.URL.Path, "/api/") {
			return
		}
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		if w.Code >= http.StatusInternalServerError {
			t.Errorf("%s %q ? %q: %d %s", method, path, query, w.Code, w.Body)
		}
		if w.Code >= http.StatusBadRequest {
			s.refusedAs(got{w.Code, w.Header(), w.Body.Bytes()}, w.Code, codeIn(w.Body.String()))
		}
		if w.Header().Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s %q: the answer is without its policy", method, path)
		}
	})
}

// codeIn is the code of a refusal.
func codeIn(body string) string {
	_, after, _ := strings.Cut(body, `"code":"`)
	code, _, _ := strings.Cut(after, `"`)
	return code
}
