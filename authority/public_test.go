package authority_test

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"log"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"gelwright/authority"
	"gelwright/internal/acmetest"
)

// A public name gets its certificate from a public authority, which looks on the port of HTTPS itself whether the name is ours; one
// that is kept is not asked for again, and no other name has one. ASVS 12.2.2.
func TestAPublicNameGetsACertificate(t *testing.T) {
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer on.Close()
	w := acmetest.New(t, on.Addr().(*net.TCPAddr).Port)
	data := t.TempDir()
	public, err := authority.NewPublic(data, authority.Asked{Names: []string{"Roofs.test."}, Directory: w.Directory, Client: w.Client})
	if err != nil {
		t.Fatal(err)
	}
	if !public.Has("roofs.test") || public.Has("127.0.0.1") || public.Has("other.test") {
		t.Errorf("it is for %v", public.Names())
	}
	var present *authority.Public = public
	server := &http.Server{Handler: http.NotFoundHandler(), TLSConfig: &tls.Config{NextProtos: append([]string{"http/1.1"}, public.Protocols()...),
		GetCertificate: func(h *tls.ClientHelloInfo) (*tls.Certificate, error) { return present.Certificate(h) }}, ErrorLog: log.New(&bytes.Buffer{}, "", 0)}
	go server.ServeTLS(on, "", "")
	t.Cleanup(func() { server.Close() })
	if ends := public.Ends(t.Context(), "roofs.test"); !ends.IsZero() {
		t.Errorf("before it was asked for, a certificate ends on %v", ends)
	}
	said := &bytes.Buffer{}
	public.Fetch(slog.New(slog.NewTextHandler(said, nil)))
	if !strings.Contains(said.String(), "a certificate is there") {
		t.Fatalf("it says %s; the authority: %s", said, w.Said)
	}
	look := func(name string) (*x509.Certificate, error) {
		c, err := tls.Dial("tcp", on.Addr().String(), &tls.Config{ServerName: name, RootCAs: w.Roots})
		if err != nil {
			return nil, err
		}
		defer c.Close()
		return c.ConnectionState().PeerCertificates[0], nil
	}
	first, err := look("roofs.test")
	if err != nil || first.VerifyHostname("roofs.test") != nil {
		t.Fatalf("the certificate: %v", err)
	}
	if ends := public.Ends(t.Context(), "roofs.test"); !ends.Equal(first.NotAfter) || time.Until(ends) < time.Hour {
		t.Errorf("it ends on %v, and is said to on %v", first.NotAfter, ends)
	}
	for _, name := range []string{"other.test", "127.0.0.1", ""} {
		if c, err := tls.Dial("tcp", on.Addr().String(), &tls.Config{ServerName: name, InsecureSkipVerify: true}); err == nil {
			c.Close()
			t.Errorf("%q has a certificate", name)
		}
	}
	// Begun again, with an authority that does not answer: what was kept holds.
	if present, err = authority.NewPublic(data, authority.Asked{Names: []string{"roofs.test"}, Directory: "https://127.0.0.1:1/none", Client: w.Client}); err != nil {
		t.Fatal(err)
	}
	again, err := look("roofs.test")
	if err != nil || !again.Equal(first) {
		t.Errorf("begun again it has another certificate (%v)", err)
	}
}

// A name that does not lead here gets none, and the log says what is wanted.
func TestANameThatIsNotOursGetsNone(t *testing.T) {
	away, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	port := away.Addr().(*net.TCPAddr).Port
	away.Close()
	w := acmetest.New(t, port)
	public, err := authority.NewPublic(t.TempDir(), authority.Asked{Names: []string{"roofs.test"}, Directory: w.Directory, Client: w.Client})
	if err != nil {
		t.Fatal(err)
	}
	said := &bytes.Buffer{}
	public.Fetch(slog.New(slog.NewTextHandler(said, nil)))
	if !strings.Contains(said.String(), "no certificate was issued") || !strings.Contains(said.String(), "443") {
		t.Errorf("it says %s", said)
	}
	if ends := public.Ends(context.Background(), "roofs.test"); !ends.IsZero() {
		t.Errorf("it ends on %v", ends)
	}
}

func TestWhichNamesArePublic(t *testing.T) {
	for name, want := range map[string]string{"roofs.example": "", "box": "no name of the public network", "office.lan": "private network", "box.local": "private network",
		"192.0.2.7": "", "a b.example": "no name", "": "no name"} {
		_, err := authority.NewPublic(t.TempDir(), authority.Asked{Names: []string{name}})
		if name == "192.0.2.7" {
			want = "no name of the public network"
		}
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", name, err, want)
		}
	}
	if _, err := authority.NewPublic(t.TempDir(), authority.Asked{}); err == nil || errors.Unwrap(err) != nil {
		t.Errorf("without a name: %v", err)
	}
}
