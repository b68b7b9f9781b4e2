package web

import (
	"crypto/tls"
	"net"
	"net/http"
	"strings"
)

// Network is how a server stands on a network: HTTPS alone, under names that are its own.
type Network struct {
	// Certificate gives the certificate of a handshake.
	Certificate func(*tls.ClientHelloInfo) (*tls.Certificate, error)
	// Protocols are those that a handshake may ask for beside HTTP, as ACME's own.
	Protocols []string
	// Has reports whether a host, without its port, is one of the server's names or addresses.
	Has func(host string) bool
	// PerSecond is how many requests a second one address may make, six times as many at once; 0 is without limit.
	PerSecond float64
	// Public says that the name is one of the public network: browsers are told to come by HTTPS alone (HSTS).
	Public bool
}

// strictTransport has browsers come by HTTPS alone for a year (ASVS 5.0 3.4.1). It is told where the name is public alone: under a
// firm's own authority a device that does not trust it yet must still be able to say so in words.
const strictTransport = "max-age=31536000"

// config is how connections are encrypted: TLS 1.2 at least with forward secrecy, 1.3 where the other side can (ASVS 5.0 12.1.1).
func (n *Network) config() *tls.Config {
	return &tls.Config{MinVersion: tls.VersionTLS12, GetCertificate: n.Certificate,
		NextProtos: append([]string{"h2", "http/1.1"}, n.Protocols...)}
}

// own reports whether a request's host is this server: by a name of its network, or on this computer alone by that of loopback.
func (s *Server) own(host string) bool {
	if s.Network == nil {
		return loopback(host)
	}
	return s.Network.Has(bare(host))
}

// bare is a host without its port and brackets.
func bare(host string) string {
	if name, _, err := net.SplitHostPort(host); err == nil {
		return name
	}
	return strings.TrimSuffix(strings.TrimPrefix(host, "["), "]")
}

// clear answers what comes unencrypted to the port of HTTPS: a page is led to its encrypted address, anything else is told where to
// go. A question of the API is never led on: its token has been heard by everyone, and must not go on working unnoticed (ASVS 5.0 4.1.2).
func (s *Server) clear() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		for _, p := range policy {
			w.Header().Set(p[0], p[1])
		}
		w.Header().Set("Connection", "close")
		switch {
		case !s.own(r.Host):
			s.refuse(w, r, errHost)
		case (r.Method == http.MethodGet || r.Method == http.MethodHead) && !strings.HasPrefix(r.URL.Path, apiPath):
			http.Redirect(w, r, "https://"+r.Host+r.URL.RequestURI(), http.StatusPermanentRedirect)
		default:
			s.refuse(w, r, &problem{status: http.StatusForbidden, Code: "clear", Place: "http", Message: "this came unencrypted",
				Remedy: "Ask again under https://" + r.Host + "/; a password or token that was sent so counts as known to others: change it"})
		}
	})
}
