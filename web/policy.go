package web

import (
	"net/http"
	"net/netip"
	"net/url"
	"strings"
)

// contentPolicy is what the page may load: nothing, then from here by kind. WebAssembly is the one concession.
const contentPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; font-src 'self'; " +
	"img-src 'self' blob: data:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; " +
	"frame-ancestors 'none'"

// policy stands in the head of every answer. Opener and embedder policies make the page an island, which shared memory needs.
var policy = [][2]string{
	{"Content-Security-Policy", contentPolicy},
	{"X-Content-Type-Options", "nosniff"},
	{"Referrer-Policy", "no-referrer"},
	{"Cross-Origin-Opener-Policy", "same-origin"},
	{"Cross-Origin-Embedder-Policy", "require-corp"},
	{"Cross-Origin-Resource-Policy", "same-origin"},
}

// guard lays the policy round everything that answers.
func (s *Server) guard(next http.Handler) http.Handler {
	forged := http.NewCrossOriginProtection()
	forged.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { s.refuse(w, r, errForeign) }))
	next = forged.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		for _, p := range policy {
			w.Header().Set(p[0], p[1])
		}
		if s.Network != nil && s.Network.Public {
			w.Header().Set("Strict-Transport-Security", strictTransport)
		}
		defer s.recovered(w, r)
		switch {
		case s.tooOften(r, ""):
			s.often(w, r)
		case !s.own(r.Host):
			s.refuse(w, r, errHost)
		case strings.HasPrefix(r.URL.Path, apiPath) && foreign(r):
			s.refuse(w, r, errForeign)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// errHost refuses a name that leads here and is not ours (DNS rebinding).
var errHost = &problem{status: http.StatusMisdirectedRequest, Code: "host", Place: "Host", Message: "this is not the name of this computer",
	Remedy: "Open the address that the program printed when it started"}

// errForeign refuses what another site's page asks.
var errForeign = &problem{status: http.StatusForbidden, Code: "origin", Place: "Origin", Message: "another site asked for this",
	Remedy: "Open the address that the program printed when it started, and ask from there"}

// foreign reports whether a browser says that a request comes from a page of another site or port; one that says nothing of sites
// tells the page's origin.
func foreign(r *http.Request) bool {
	switch r.Header.Get("Sec-Fetch-Site") {
	case "none", "same-origin":
		return false
	case "":
		origin := r.Header.Get("Origin")
		if origin == "" {
			return false
		}
		at, err := url.Parse(origin)
		return err != nil || at.Host != r.Host
	}
	return true
}

// loopback reports whether a host, with or without its port, is this computer by address or as localhost.
func loopback(host string) bool {
	name := bare(host)
	if strings.EqualFold(name, "localhost") {
		return true
	}
	at, err := netip.ParseAddr(name)
	return err == nil && at.IsLoopback()
}
