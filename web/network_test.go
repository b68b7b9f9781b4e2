package web_test

import (
	"bufio"
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"testing"
	"time"

	"gelwright/authority"
	"gelwright/web"
)

// encrypted is the server under a firm's own authority, as box.lan and 127.0.0.1.
func encrypted(t *testing.T, set func(*web.Server)) *served {
	t.Helper()
	dir := t.TempDir()
	names := authority.Names{DNS: []string{"box.lan"}, Addresses: []netip.Addr{netip.MustParseAddr("127.0.0.1")}}
	a, _, err := authority.Begin(dir, names, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	k, err := authority.Keep(dir, a, func() (authority.Names, error) { return names, nil }, time.Now, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	s := serveAs(t, func(s *web.Server) {
		s.Network = &web.Network{Certificate: k.Certificate, Has: k.Has}
		if set != nil {
			set(s)
		}
	})
	cert, err := x509.ParseCertificate(a.Certificate())
	if err != nil {
		t.Fatal(err)
	}
	s.trust = &tls.Config{RootCAs: x509.NewCertPool()}
	s.trust.RootCAs.AddCert(cert)
	return s
}

func (s *served) host() string { _, host, _ := strings.Cut(s.url, "://"); return host }

// ASVS 5.0 12.1.1 (TLS 1.2 and newer alone), 12.2.1 (everything encrypted), 12.3.2 (the certificate is held against its name).
func TestEverythingIsEncrypted(t *testing.T) {
	s := encrypted(t, nil)
	if g := s.do(ask{method: "GET", path: "/api/version"}); g.status != http.StatusOK {
		t.Fatalf("over HTTPS: %d %s", g.status, g.body)
	}
	for name, want := range map[uint16]bool{tls.VersionTLS10: false, tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
		c := s.trust.Clone()
		c.MinVersion, c.MaxVersion = name, name
		on, err := tls.Dial("tcp", s.host(), c)
		if (err == nil) != want {
			t.Errorf("%s: %v, want it spoken: %v", tls.VersionName(name), err, want)
		}
		if err == nil {
			if suite := tls.CipherSuiteName(on.ConnectionState().CipherSuite); !strings.Contains(suite, "GCM") && !strings.Contains(suite, "CHACHA20") {
				t.Errorf("%s: %s", tls.VersionName(name), suite)
			}
			on.Close()
		}
	}
	c := s.trust.Clone()
	c.NextProtos = []string{"h2"}
	on, err := tls.Dial("tcp", s.host(), c)
	if err != nil {
		t.Fatal(err)
	}
	defer on.Close()
	if now := on.ConnectionState(); now.Version != tls.VersionTLS13 || now.NegotiatedProtocol != "h2" {
		t.Errorf("left to the server it is %s, %q", tls.VersionName(now.Version), now.NegotiatedProtocol)
	}
}

// plain asks in the clear on the port of HTTPS.
func (s *served) plain(a ask) got {
	s.t.Helper()
	clear := *s
	clear.url, clear.trust = "http://"+s.host(), nil
	return clear.do(a)
}

// ASVS 5.0 4.1.2: a page is led to HTTPS, a question of the API is not.
func TestInTheClearAPageIsLedToHTTPSAndNothingElseAnswers(t *testing.T) {
	s := encrypted(t, nil)
	for _, path := range []string{"/", "/app.js?x=1", "/#job=1"} {
		g := s.plain(ask{method: "GET", path: path})
		want := s.url + strings.TrimSuffix(path, "#job=1")
		if g.status != http.StatusPermanentRedirect || g.head.Get("Location") != want || g.head.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("GET %s: %d to %q, want %q", path, g.status, g.head.Get("Location"), want)
		}
	}
	for _, a := range []ask{{method: "GET", path: "/api/version"}, {method: "POST", path: "/api/jobs", body: "{}"}, {method: "POST", path: "/"}} {
		g := s.plain(a)
		if told := s.refusedAs(g, http.StatusForbidden, "clear"); g.head.Get("Location") != "" || !strings.Contains(told.Remedy, s.url+"/") {
			t.Errorf("%s %s: %d %q %s", a.method, a.path, g.status, g.head.Get("Location"), g.body)
		}
	}
	s.refusedAs(s.plain(ask{method: "GET", path: "/", heads: []string{"Host: elsewhere.example"}}), http.StatusMisdirectedRequest, "host")
}

func TestOnlyItsOwnNamesAreServed(t *testing.T) {
	s := encrypted(t, nil)
	for host, want := range map[string]int{"box.lan": 200, "BOX.lan:9": 200, "127.0.0.1": 200, "localhost": 421, "box.lan.example.org": 421, "elsewhere.example": 421, "192.0.2.7": 421, "[::1]:8443": 421} {
		if g := s.do(ask{method: "GET", path: "/api/version", heads: []string{"Host: " + host}}); g.status != want {
			t.Errorf("Host %s: %d, want %d", host, g.status, want)
		}
	}
}

// ASVS 5.0 3.4.1, where the name is public.
func TestABrowserIsToldToComeByHTTPSWhereTheNameIsPublic(t *testing.T) {
	for _, public := range []bool{true, false} {
		s := encrypted(t, func(s *web.Server) { s.Network.Public = public })
		for _, path := range []string{"/", "/api/version", "/api/nothing"} {
			told := s.do(ask{method: "GET", path: path}).head.Get("Strict-Transport-Security")
			if want := map[bool]string{true: "max-age=31536000"}[public]; told != want {
				t.Errorf("public %v, %s: %q, want %q", public, path, told, want)
			}
		}
	}
}

// Beyond this computer a port is opened with HTTPS and accounts alone.
func TestBeyondThisComputerOnlyWithHTTPSAndAccounts(t *testing.T) {
	for _, x := range []struct {
		network, accounts, opens bool
		says                     string
	}{{false, false, false, "encrypted"}, {false, true, false, "encrypted"}, {true, false, false, "accounts"}, {true, true, true, ""}} {
		s, err := web.New(web.Server{Accounts: x.accounts})
		if err != nil {
			t.Fatal(err)
		}
		if x.network {
			s.Network = &web.Network{}
		}
		on, err := s.Listen(t.Context(), "0.0.0.0:0")
		if (err == nil) != x.opens || err != nil && !strings.Contains(err.Error(), x.says) {
			t.Errorf("network %v, accounts %v: %v", x.network, x.accounts, err)
		}
		if err == nil {
			on.Close()
		}
	}
}

// Connections that say nothing, or half a handshake, keep nobody out.
func TestSilentConnectionsHoldNobodyUp(t *testing.T) {
	s := encrypted(t, nil)
	for i := range 40 {
		c, err := net.Dial("tcp", s.host())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		if i%2 == 1 {
			if _, err := c.Write([]byte{22, 3, 1}); err != nil {
				t.Fatal(err)
			}
		}
	}
	if g := s.do(ask{method: "GET", path: "/api/version"}); g.status != http.StatusOK {
		t.Errorf("%d", g.status)
	}
}

// What is under way when the program is told to end is answered, encrypted and in the clear, and nothing new is taken.
func TestWhatIsUnderWayEnds(t *testing.T) {
	for _, https := range []bool{true, false} {
		began, goOn := make(chan bool), make(chan bool)
		s := encrypted(t, nil)
		if !https {
			s = serve(t)
		}
		x := s.Server
		ctx, stop := context.WithCancel(t.Context())
		on, err := x.Listen(ctx, "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		ended := make(chan error, 1)
		go func() { ended <- x.Serve(ctx, on) }()
		// A body that is sent in two halves: the request is under way between them.
		var c net.Conn
		if https {
			c, err = tls.Dial("tcp", on.Addr().String(), s.trust)
		} else {
			c, err = net.Dial("tcp", on.Addr().String())
		}
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		body := `{"title":"Garage","who":"Asha","state":{"id":"s1","document":{"roof":{}}}}`
		go func() {
			fmt.Fprintf(c, "POST /api/jobs HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nExpect: 100-continue\r\nContent-Length: %d\r\n\r\n", len(body))
			began <- true
			<-goOn
			io.WriteString(c, body)
		}()
		<-began
		in := bufio.NewReader(c)
		if line, err := in.ReadString('\n'); err != nil || !strings.Contains(line, "100 Continue") {
			t.Fatalf("%q %v", line, err)
		}
		stop() // the handler waits for the body now
		for {
			late, err := net.Dial("tcp", on.Addr().String())
			if err != nil {
				break
			}
			late.Close()
		}
		goOn <- true
		if _, err := in.ReadString('\n'); err != nil {
			t.Fatal(err)
		}
		w, err := http.ReadResponse(in, nil)
		if err != nil || w.StatusCode != http.StatusCreated {
			t.Errorf("https %v: what was under way: %v %v", https, w, err)
		}
		if err := <-ended; err != nil {
			t.Errorf("https %v: the end: %v", https, err)
		}
	}
}

// ASVS 5.0 2.4.1, 6.3.1: too much at once from one address, or by one account, is refused for a while; alone on this computer nobody is.
func TestTooMuchAtOnceIsRefused(t *testing.T) {
	for _, x := range []struct {
		perSecond float64
		through   int
	}{{2, 13}, {0, 200}, {1000, 200}} {
		s := encrypted(t, func(s *web.Server) { s.Network.PerSecond = x.perSecond })
		through := 0
		for range 200 {
			g := s.do(ask{method: "GET", path: "/api/version"})
			if g.status == http.StatusOK {
				through++
				continue
			}
			if told := s.refusedAs(g, http.StatusTooManyRequests, "often"); g.head.Get("Retry-After") != "1" || !strings.Contains(told.Remedy, "Wait") {
				t.Errorf("%d %v", g.status, g.head)
			}
		}
		// What trickles in while the test asks comes on top.
		if through < x.through || x.through < 200 && through >= 200 {
			t.Errorf("%v a second: %d of 200 are let through, want some more than %d", x.perSecond, through, x.through)
		}
	}
}
