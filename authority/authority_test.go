package authority

import (
	"bytes"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"log/slog"
	"math/big"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

var (
	today = time.Date(2026, 5, 12, 9, 0, 0, 0, time.UTC)
	// A public address and a public name are among them: a machine may have both, and the authority may speak for neither.
	box = Names{DNS: []string{"box", "box.local", "localhost"}, Addresses: []netip.Addr{netip.MustParseAddr("192.168.7.20"),
		netip.MustParseAddr("203.0.113.9"), netip.MustParseAddr("fd00::20"), netip.MustParseAddr("127.0.0.1")}}
)

func begun(t *testing.T) (string, *Authority) {
	t.Helper()
	dir := t.TempDir()
	a, made, err := Begin(dir, box, today)
	if err != nil || !made {
		t.Fatalf("made %v: %v", made, err)
	}
	return dir, a
}

// ASVS 5.0 13.3.1 (secrets in the file system are kept from others), 11.2.3 (128 bits of security: P-256).
func TestAnAuthorityIsMadeOnceAndKeptFromOthers(t *testing.T) {
	dir, a := begun(t)
	info, err := os.Stat(Kept(dir))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key's file has mode %v (%v), want 0600", info.Mode(), err)
	}
	if info, err = os.Stat(filepath.Dir(Kept(dir))); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("its folder has mode %v (%v), want 0700", info.Mode(), err)
	}
	again, made, err := Begin(dir, box, today.AddDate(1, 0, 0))
	if err != nil || made || !bytes.Equal(again.Certificate(), a.Certificate()) || !again.key.Equal(a.key) {
		t.Errorf("opened again it is another: made %v, %v", made, err)
	}
	if a.Ends() != today.AddDate(10, 0, 0) || a.Begins() != today.AddDate(0, 0, -1) {
		t.Errorf("it holds from %v to %v", a.Begins(), a.Ends())
	}
	if a.key.Curve.Params().BitSize != 256 || a.cert.SignatureAlgorithm != x509.ECDSAWithSHA256 || !a.cert.MaxPathLenZero {
		t.Errorf("key %v, signature %v", a.key.Curve.Params().Name, a.cert.SignatureAlgorithm)
	}
}

// Many programs that begin at once end with one authority, and none is left half written.
func TestBegunAtOnce(t *testing.T) {
	dir := t.TempDir()
	var all sync.WaitGroup
	prints := make([]string, 12)
	var made int
	var mu sync.Mutex
	for i := range prints {
		all.Go(func() {
			a, first, err := Begin(dir, box, today)
			if err != nil {
				t.Error(err)
				return
			}
			mu.Lock()
			defer mu.Unlock()
			if prints[i] = strings.Join(a.Fingerprint(), " "); first {
				made++
			}
		})
	}
	all.Wait()
	if slices.Sort(prints); made != 1 || prints[0] != prints[len(prints)-1] {
		t.Errorf("made %d times; fingerprints %v", made, slices.Compact(prints))
	}
	left, err := os.ReadDir(filepath.Dir(Kept(dir)))
	if err != nil || len(left) != 1 {
		t.Errorf("%d files are left, want the one (%v)", len(left), err)
	}
}

// forged is a certificate that somebody with the key makes for a name or address.
func forged(t *testing.T, a *Authority, name string) *x509.Certificate {
	t.Helper()
	x := &x509.Certificate{SerialNumber: big.NewInt(7), NotBefore: today, NotAfter: today.AddDate(0, 0, 9), ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}}
	if ip := net.ParseIP(name); ip != nil {
		x.IPAddresses = []net.IP{ip}
	} else {
		x.DNSNames = []string{name}
	}
	der, err := x509.CreateCertificate(rand.Reader, x, a.cert, &a.key.PublicKey, a.key)
	if err != nil {
		t.Fatal(err)
	}
	c, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Whoever has stolen the key can pose as nobody on the public network (RFC 5280, 4.2.1.10).
func TestAStolenKeyIsGoodForNoPublicName(t *testing.T) {
	_, a := begun(t)
	roots := x509.NewCertPool()
	roots.AddCert(a.cert)
	for name, good := range map[string]bool{"box": true, "box.local": true, "nas.local": true, "till.lan": true, "x.home.arpa": true, "x.internal": true,
		"localhost": true, "192.168.7.20": true, "10.1.2.3": true, "172.31.255.255": true, "100.64.0.1": true, "fd12::1": true, "::1": true,
		"example.org": false, "local.example.org": false, "xlocal": false, "bank.example.com": false, "mailbox": false, "192.169.0.1": false, "203.0.113.9": false,
		"172.32.0.1": false, "100.128.0.1": false, "2001:db8::1": false} {
		_, err := forged(t, a, name).Verify(x509.VerifyOptions{Roots: roots, CurrentTime: today.Add(time.Hour)})
		if (err == nil) != good {
			t.Errorf("%s: %v, good should be %v", name, err, good)
		}
	}
	if !a.cert.PermittedDNSDomainsCritical {
		t.Error("who does not understand the bounds may pass over them")
	}
}

func TestACertificateIsForTheNamesThatMayBe(t *testing.T) {
	_, a := begun(t)
	leaf, not, err := a.issue(box, today)
	if err != nil {
		t.Fatal(err)
	}
	x := leaf.Leaf
	if got := x.NotAfter.Sub(today); got != 90*24*time.Hour || got > 398*24*time.Hour {
		t.Errorf("it holds for %v", got)
	}
	if !slices.Equal(x.DNSNames, box.DNS) || len(x.IPAddresses) != 3 || !slices.Equal(not, []string{"203.0.113.9"}) || x.IsCA {
		t.Errorf("names %v, addresses %v, left out %v", x.DNSNames, x.IPAddresses, not)
	}
	last, _, err := a.issue(box, a.Ends().AddDate(0, 0, -3))
	if err != nil || last.Leaf.NotAfter.After(a.Ends()) {
		t.Errorf("at the end of the authority: %v, until %v", err, last.Leaf.NotAfter)
	}
	for _, when := range []time.Time{a.Ends(), a.Begins().Add(-time.Second)} {
		if _, _, err := a.issue(box, when); err == nil || !strings.Contains(err.Error(), "check the clock") {
			t.Errorf("at %v: %v", when, err)
		}
	}
	if _, _, err := a.issue(Names{DNS: []string{"roofs.example.org"}}, today); err == nil || !strings.Contains(err.Error(), "gelwright authority renew") {
		t.Errorf("a public name: %v", err)
	}
}

// clock is a clock, and a machine, that a test sets.
type clock struct {
	mu    sync.Mutex
	now   time.Time
	names Names
}

func (c *clock) at() time.Time { c.mu.Lock(); defer c.mu.Unlock(); return c.now }
func (c *clock) called() (Names, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.names, nil
}

func (c *clock) set(now time.Time, n Names) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now, c.names = now, n
}

func TestCertificatesAreRenewedWithoutARestart(t *testing.T) {
	dir, a := begun(t)
	c := &clock{now: today, names: box}
	var log bytes.Buffer
	k, err := Keep(dir, a, c.called, c.at, slog.New(slog.NewJSONHandler(&log, nil)))
	if err != nil {
		t.Fatal(err)
	}
	now := func() *x509.Certificate {
		t.Helper()
		leaf, err := k.Certificate(nil)
		if err != nil {
			t.Fatal(err)
		}
		return leaf.Leaf
	}
	first := now()
	c.set(today.AddDate(0, 0, 59), box)
	if second := now(); !second.Equal(first) {
		t.Error("it is made anew a month before it must be")
	}
	c.set(today.AddDate(0, 0, 61), box)
	second := now()
	if second.Equal(first) || second.NotAfter != today.AddDate(0, 0, 61+90) {
		t.Errorf("60 days on it is not made anew: it ends %v", second.NotAfter)
	}
	moved := Names{DNS: box.DNS, Addresses: []netip.Addr{netip.MustParseAddr("192.168.7.99")}}
	c.set(today.AddDate(0, 0, 61).Add(30*time.Second), moved)
	if k.Has("192.168.7.99") {
		t.Error("the machine is looked at for every connection")
	}
	c.set(today.AddDate(0, 0, 61).Add(2*time.Minute), moved)
	if third := now(); third.Equal(second) || len(third.IPAddresses) != 1 || !k.Has("192.168.7.99") || k.Has("192.168.7.20") || !k.Has("BOX.local") {
		t.Error("another address of the machine is not in its certificate")
	}
	renewed, err := Renew(dir, box, today)
	if err != nil {
		t.Fatal(err)
	}
	// A file system may tell times in seconds: the file's own time is set apart.
	later := time.Now().Add(time.Hour)
	if err := os.Chtimes(Kept(dir), later, later); err != nil {
		t.Fatal(err)
	}
	c.set(today.AddDate(0, 0, 61).Add(4*time.Minute), moved)
	if fourth := now(); fourth.CheckSignatureFrom(renewed.cert) != nil || !bytes.Equal(k.Authority().Certificate(), renewed.Certificate()) {
		t.Error("the renewed authority is not taken")
	}
	if text := log.String(); strings.Contains(text, "PRIVATE") || !strings.Contains(text, "a certificate was made") {
		t.Errorf("the log says %s", text)
	}
}

func TestRenewingKeepsTheOldCertificateAndNotItsKey(t *testing.T) {
	dir, old := begun(t)
	a, err := Renew(dir, box, today)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(a.Certificate(), old.Certificate()) || a.Name() == old.Name() {
		t.Error("the new authority cannot be told from the old one")
	}
	kept, err := filepath.Glob(filepath.Join(dir, "authority", "until-2026-05-12-*.crt"))
	if err != nil || len(kept) != 1 {
		t.Fatalf("old certificates: %v %v", kept, err)
	}
	if raw, err := os.ReadFile(kept[0]); err != nil || !bytes.Equal(raw, old.Certificate()) {
		t.Errorf("the old certificate is not kept: %v", err)
	}
	key, err := old.kept()
	if err != nil {
		t.Fatal(err)
	}
	err = filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		if bytes.Contains(raw, key[:120]) {
			t.Errorf("%s holds the old key", path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// A damaged file is told with its place and remedy, and none of its bytes: they may be the key.
func TestADamagedFileIsToldWithoutItsBytes(t *testing.T) {
	dir, a := begun(t)
	whole, err := a.kept()
	if err != nil {
		t.Fatal(err)
	}
	other, err := makeNew(box, today)
	if err != nil {
		t.Fatal(err)
	}
	strange, err := other.kept()
	if err != nil {
		t.Fatal(err)
	}
	for name, raw := range map[string][]byte{"empty": {}, "half": whole[:len(whole)/2], "no certificate": whole[:241], "turned": bytes.ToUpper(whole),
		"another's key": append(bytes.Clone(strange[:241]), whole[241:]...)} {
		if err := os.WriteFile(Kept(dir), raw, 0o600); err != nil {
			t.Fatal(err)
		}
		_, made, err := Begin(dir, box, today)
		if err == nil || made || !strings.Contains(err.Error(), Kept(dir)) || !strings.Contains(err.Error(), "gelwright authority renew") {
			t.Errorf("%s: made %v, %v", name, made, err)
		}
		if err != nil && len(raw) > 80 && strings.Contains(err.Error(), string(raw[40:60])) {
			t.Errorf("%s: the error holds what the file held", name)
		}
	}
}

// A client that trusts the authority speaks with what it issued for, by name and by address, and one that does not is refused.
func TestAClientThatTrustsTheAuthorityComesIn(t *testing.T) {
	dir, a := begun(t)
	k, err := Keep(dir, a, func() (Names, error) { return box, nil }, func() time.Time { return today }, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	on, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{GetCertificate: k.Certificate})
	if err != nil {
		t.Fatal(err)
	}
	server := &http.Server{Handler: http.NotFoundHandler(), ErrorLog: slog.NewLogLogger(slog.DiscardHandler, 0)}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(on) }()
	defer func() { server.Close(); <-ended }()
	roots := x509.NewCertPool()
	roots.AddCert(a.cert)
	for _, name := range []string{"box.local", "127.0.0.1"} {
		for _, trusts := range []bool{true, false} {
			c := &tls.Config{ServerName: name, RootCAs: roots, Time: func() time.Time { return today }}
			if !trusts {
				c.RootCAs = x509.NewCertPool()
			}
			got, err := tls.Dial("tcp", on.Addr().String(), c)
			if (err == nil) != trusts {
				t.Errorf("%s, trusted %v: %v", name, trusts, err)
			}
			if err == nil {
				got.Close()
			}
		}
	}
}

func TestTheHandOutServesTheCertificateAndNothingElse(t *testing.T) {
	dir, a := begun(t)
	if _, err := a.Lay(dir, File{"page.html", []byte("page")}); err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(HandOut(func() *Authority { return a }))
	defer server.Close()
	for path, want := range map[string]int{"/": 200, "/firm.crt": 200, "/authority.pem": 404, "/page.html": 404, "/firm.crt/": 404, "/../authority.pem": 404,
		"/api/jobs": 404, "//": 404, "/%2e%2e/authority.pem": 404, "/firm.crt?x=1": 200} {
		for _, method := range []string{"GET", "HEAD", "POST", "DELETE"} {
			r, err := http.NewRequestWithContext(t.Context(), method, server.URL+path, nil)
			if err != nil {
				t.Fatal(err)
			}
			w, err := http.DefaultClient.Do(r)
			if err != nil {
				t.Fatal(err)
			}
			var body bytes.Buffer
			if _, err := body.ReadFrom(w.Body); err != nil {
				t.Fatal(err)
			}
			w.Body.Close()
			status := want
			if want == 200 && (method == "POST" || method == "DELETE") {
				status = 405
			}
			if w.StatusCode != status || w.Header.Get("X-Content-Type-Options") != "nosniff" {
				t.Errorf("%s %s: %d, want %d", method, path, w.StatusCode, status)
			}
			if is := bytes.Equal(body.Bytes(), a.Certificate()); is != (status == 200 && method == "GET") || bytes.Contains(body.Bytes(), []byte("PRIVATE")) {
				t.Errorf("%s %s: the certificate is given: %v", method, path, is)
			}
		}
	}
}

func TestNamesOfAMachine(t *testing.T) {
	n, err := Machine("Office.LAN.", "192.168.7.21", "office.lan")
	if err != nil {
		t.Fatal(err)
	}
	for _, host := range []string{"office.lan", "OFFICE.lan", "192.168.7.21", "localhost", "127.0.0.1"} {
		if !n.Has(host) {
			t.Errorf("%s is not among %v", host, n)
		}
	}
	if i := slices.Index(n.DNS, "office.lan"); i < 0 || slices.Contains(n.DNS[i+1:], "office.lan") {
		t.Errorf("a name stands twice: %v", n.DNS)
	}
	if slices.ContainsFunc(n.Addresses, netip.Addr.IsLinkLocalUnicast) || n.Addresses[0].IsLoopback() {
		t.Errorf("addresses in order: %v", n.Addresses)
	}
	if box.Best() != "192.168.7.20" || (Names{DNS: []string{"box"}}).Best() != "box" {
		t.Error("what a phone finds the machine by")
	}
	for _, bad := range []string{"", "a b", "a/b", "-a", "a-.x", "a..b", "ü", strings.Repeat("a", 64), "a_b", "http://x", "x:8443", strings.Repeat("a.", 127) + "ab"} {
		if _, err := Machine(bad); err == nil {
			t.Errorf("%q is taken for a name", bad)
		}
	}
}
