package web_test

import (
	"net/http"
	"strings"
	"testing"
)

// The policy of OWASP ASVS 5.0 3.4.3 (content), 3.4.4 (sniffing), 3.4.5 (referrer), 3.4.6 (frames), 3.4.8 (opener) stands in every
// answer, refusals and redirects too.
func TestEveryAnswerCarriesThePolicy(t *testing.T) {
	s := serve(t)
	for _, a := range []ask{
		{method: "GET", path: "/"},
		{method: "GET", path: "/nothing.txt"},
		{method: "GET", path: "/api/version"},
		{method: "GET", path: "/api/nothing"},
		{method: "GET", path: "//api/version"},
		{method: "POST", path: "/api/version"},
		{method: "GET", path: "/", heads: []string{"Host: roofs.example"}},
		{method: "POST", path: "/", heads: []string{"Origin: http://roofs.example"}},
	} {
		g := s.do(a)
		for name, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Cross-Origin-Opener-Policy": "same-origin",
			"Cross-Origin-Embedder-Policy": "require-corp", "Cross-Origin-Resource-Policy": "same-origin",
		} {
			if g.head.Get(name) != want {
				t.Errorf("%s %s: %s is %q, want %q", a.method, a.path, name, g.head.Get(name), want)
			}
		}
		csp := g.head.Get("Content-Security-Policy")
		if !strings.HasPrefix(csp, "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self';") ||
			!strings.HasSuffix(csp, "base-uri 'none'; form-action 'none'; frame-ancestors 'none'") || strings.Contains(csp, "unsafe-inline") {
			t.Errorf("%s %s: policy %q", a.method, a.path, csp)
		}
	}
}

// A foreign name that leads here (DNS rebinding) is refused, whatever is asked.
func TestForeignNamesAreRefused(t *testing.T) {
	s := serve(t)
	for _, host := range []string{"roofs.example", "roofs.example:80", "127.0.0.1.roofs.example", "localhost.roofs.example", "192.0.2.7:80", "[2001:db8::1]:80",
		"0.0.0.0", "127.0.0.1@roofs.example"} {
		s.refusedAs(s.do(ask{method: "GET", path: "/api/version", heads: []string{"Host: " + host}}), http.StatusMisdirectedRequest, "host")
	}
	for _, host := range []string{"localhost", "LOCALHOST:8080", "127.0.0.1:9", "127.8.0.1", "[::1]:80", "[::1]"} {
		if g := s.do(ask{method: "GET", path: "/api/version", heads: []string{"Host: " + host}}); g.status != http.StatusOK {
			t.Errorf("Host %s: %d %s", host, g.status, g.body)
		}
	}
}

// What another site's page asks is refused (ASVS 5.0 3.5.1): it changes nothing and reads nothing, and no plan is made for it.
func TestOtherSitesAreRefused(t *testing.T) {
	s := serve(t)
	for _, heads := range [][]string{
		{"Origin: http://roofs.example"}, {"Origin: null"}, {"Sec-Fetch-Site: cross-site"}, {"Sec-Fetch-Site: same-site"},
		{"Origin: http://127.0.0.1:1", "Sec-Fetch-Site: same-site"},
	} {
		s.refusedAs(s.do(ask{method: "POST", path: "/api/jobs", body: "{}", heads: heads}), http.StatusForbidden, "origin")
	}
	for _, site := range []string{"cross-site", "same-site"} {
		s.refusedAs(s.do(ask{method: "GET", path: "/api/version", heads: []string{"Sec-Fetch-Site: " + site}}), http.StatusForbidden, "origin")
	}
	for _, origin := range []string{"http://roofs.example", "null", "http://127.0.0.1:1", "%"} {
		s.refusedAs(s.do(ask{method: "GET", path: "/api/version", heads: []string{"Origin: " + origin}}), http.StatusForbidden, "origin")
	}
	if g := s.do(ask{method: "GET", path: "/api/version", heads: []string{"Origin: " + s.url}}); g.status != http.StatusOK {
		t.Errorf("our own origin is refused: %d %s", g.status, g.body)
	}
	if g := s.do(ask{method: "GET", path: "/api/version", heads: []string{"Sec-Fetch-Site: same-origin"}}); g.status != http.StatusOK {
		t.Errorf("our own page is refused: %d %s", g.status, g.body)
	}
}

func TestOnlyLoopbackIsListenedOn(t *testing.T) {
	s := serve(t)
	for _, address := range []string{"0.0.0.0:0", ":0", "[::]:0", "192.0.2.7:0", "roofs.example:80", "127.0.0.1", "nonsense"} {
		if on, err := s.Listen(t.Context(), address); err == nil {
			on.Close()
			t.Errorf("%s is listened on", address)
		}
	}
	for _, address := range []string{"127.0.0.1:0", "localhost:0"} {
		on, err := s.Listen(t.Context(), address)
		if err != nil {
			t.Errorf("%s: %v", address, err)
			continue
		}
		on.Close()
	}
}
