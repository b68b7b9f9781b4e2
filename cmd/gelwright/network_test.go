package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"gelwright/authority"
	"gelwright/internal/acmetest"
)

// encryptedIn starts the program under HTTPS on this computer, and gives what it printed.
func encryptedIn(t *testing.T, data string, more ...string) (said []string, end func()) {
	t.Helper()
	args := append([]string{"serve", "--data", data, "--https", "--listen", "127.0.0.1:0", "--hand-out", "127.0.0.1:0"}, more...)
	cmd := exec.Command("gelwright", args...)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill() })
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		said = append(said, lines.Text())
		if strings.HasPrefix(lines.Text(), "phones fetch") {
			break
		}
	}
	if len(said) == 0 {
		cmd.Wait()
		t.Fatalf("nothing was printed: %s", errs.String())
	}
	return said, func() {
		t.Helper()
		cmd.Process.Signal(syscall.SIGTERM)
		if err := cmd.Wait(); err != nil {
			t.Errorf("told to end: %v", err)
		}
		if strings.Contains(errs.String(), "PRIVATE KEY") {
			t.Errorf("the log holds a key: %s", errs.String())
		}
	}
}

// trusting is a client that was told to trust the firm's authority.
func trusting(t *testing.T, data string) *http.Client {
	t.Helper()
	der, err := os.ReadFile(filepath.Join(data, "authority", "firm.crt"))
	if err != nil {
		t.Fatal(err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(cert)
	return &http.Client{Transport: &http.Transport{DisableKeepAlives: true, TLSClientConfig: &tls.Config{RootCAs: roots}}}
}

func after(t *testing.T, said []string, begin string) string {
	t.Helper()
	for _, l := range said {
		if rest, ok := strings.CutPrefix(l, begin); ok {
			return strings.TrimSpace(rest)
		}
	}
	t.Fatalf("no line begins with %q in %q", begin, said)
	return ""
}

// A person's way: the server is begun, its page lies where it says, a device fetches the certificate in the clear, compares the
// fingerprint and comes in. Begun again it is the same authority, and is not said to be made.
func TestServeOverHTTPS(t *testing.T) {
	data := t.TempDir()
	said, end := encryptedIn(t, data)
	page := after(t, said, "how, step by step, to print:")
	for _, path := range []string{page, strings.TrimSuffix(page, ".pdf") + ".html"} {
		if info, err := os.Stat(path); err != nil || info.Size() < 2000 {
			t.Errorf("the page %s: %v", path, err)
		}
	}
	w, err := http.Get(after(t, said, "phones fetch its certificate from:"))
	if err != nil {
		t.Fatal(err)
	}
	der, err := io.ReadAll(w.Body)
	w.Body.Close()
	if err != nil {
		t.Fatal(err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if code := run([]string{"authority", "show", "--data", data, "--json"}, nil, &out, io.Discard); code != exitDone {
		t.Fatalf("authority show: %d", code)
	}
	var shows shownAuthority
	if err := json.Unmarshal(out.Bytes(), &shows); err != nil || strings.ReplaceAll(shows.Fingerprint, " ", "") != fmt.Sprintf("%X", sha256.Sum256(der)) {
		t.Errorf("the fingerprint shown is %s (%v)", shows.Fingerprint, err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(cert)
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true, TLSClientConfig: &tls.Config{RootCAs: roots}}}
	if w, err = client.Get(said[0] + "api/version"); err != nil || w.StatusCode != http.StatusOK || !strings.HasPrefix(said[0], "https://127.0.0.1:") {
		t.Errorf("%s: %v %v", said[0], w, err)
	}
	// A pool of its own: that of the system is read once in a process, and other tests set it.
	stranger := &http.Client{Transport: &http.Transport{DisableKeepAlives: true, TLSClientConfig: &tls.Config{RootCAs: x509.NewCertPool()}}}
	if _, err := stranger.Get(said[0] + "api/version"); err == nil {
		t.Error("a device that was not told trusts it")
	}
	end()
	out.Reset()
	if code := run([]string{"authority", "page", "--data", data, "--name", "roofs.lan"}, nil, &out, io.Discard); code != exitDone || !strings.Contains(out.String(), page) {
		t.Errorf("authority page: %d %s", code, out.String())
	}
	if raw, err := os.ReadFile(strings.TrimSuffix(page, ".pdf") + ".html"); err != nil || !bytes.Contains(raw, []byte(":8442/")) || !bytes.Contains(raw, []byte(":8443/")) {
		t.Errorf("the page names other ports: %v", err)
	}
	again, end := encryptedIn(t, data)
	for _, l := range append(again, "") {
		if strings.Contains(l, "was made") {
			t.Errorf("begun again it says %q", l)
		}
	}
	end()
	for _, yes := range []bool{false, true} {
		args := []string{"authority", "renew", "--data", data}
		if yes {
			args = append(args, "--yes")
		}
		if code := run(args, nil, io.Discard, io.Discard); (code == exitDone) != yes {
			t.Errorf("authority renew, meant %v: exit code %d", yes, code)
		}
		raw, err := os.ReadFile(filepath.Join(data, "authority", "firm.crt"))
		if err != nil || bytes.Equal(raw, der) == yes {
			t.Errorf("authority renew, meant %v: another certificate %v (%v)", yes, !bytes.Equal(raw, der), err)
		}
	}
}

// Beyond this computer, where nobody has an account yet, nobody is let in but by the address that is printed for the first owner;
// begun again with an owner it prints none.
func TestServePrintsAnAddressForTheFirstOwner(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	said, end := encryptedIn(t, data, "--listen", "0.0.0.0:0", "--name", "127.0.0.1")
	client := trusting(t, data)
	at, err := url.Parse(said[0])
	if err != nil {
		t.Fatal(err)
	}
	address := "https://127.0.0.1:" + at.Port()
	link, err := url.Parse(said[slices.IndexFunc(said, func(l string) bool { return strings.HasPrefix(l, "nobody has an account yet") })+1])
	if err != nil || link.Host != at.Host || link.Path != "/first-owner" || len(link.Fragment) < 40 {
		t.Fatalf("the first owner opens %v (%v)", link, err)
	}
	ask := func(path, body string) int {
		t.Helper()
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, address+path, nil)
		if body != "" {
			r, err = http.NewRequestWithContext(t.Context(), http.MethodPost, address+path, strings.NewReader(body))
			r.Header.Set("Content-Type", "application/json")
		}
		if err != nil {
			t.Fatal(err)
		}
		w, err := client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		w.Body.Close()
		return w.StatusCode
	}
	body := `{"secret": "` + link.Fragment + `", "sign_in": "asha", "name": "Asha", "password": "wet felt to the north"}`
	for _, c := range []struct {
		path, body string
		want       int
	}{{"/api/jobs", "", 401}, {"/api/people", "", 401}, {"/first-owner", "", 200}, {"/api/first-owner", strings.Replace(body, link.Fragment, "x", 1), 401},
		{"/api/first-owner", body, 200}, {"/api/first-owner", body, 401}} {
		if got := ask(c.path, c.body); got != c.want {
			t.Errorf("%s %s: %d, want %d", c.path, c.body, got, c.want)
		}
	}
	end()
	again, end := encryptedIn(t, data, "--listen", "0.0.0.0:0", "--name", "127.0.0.1")
	for _, l := range again {
		if strings.Contains(l, "first-owner") {
			t.Errorf("with an owner it says %q", l)
		}
	}
	end()
}

// Under a name of the public network the certificate comes from a public authority, browsers are told to come by HTTPS alone, and the
// address that is printed first is the one that the certificate is for. ASVS 12.2.2, 3.4.1.
func TestServeUnderAPublicName(t *testing.T) {
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	at := free.Addr().String()
	free.Close()
	world := acmetest.New(t, free.Addr().(*net.TCPAddr).Port)
	trusted := filepath.Join(t.TempDir(), "acme.pem")
	if err := os.WriteFile(trusted, world.Own, 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("gelwright", "serve", "--data", filepath.Join(t.TempDir(), "data"), "--listen", at, "--public", "roofs.test", "--acme", world.Directory, "--acme-agree")
	cmd.Env = append(os.Environ(), "SSL_CERT_FILE="+trusted)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Signal(syscall.SIGTERM); cmd.Wait() })
	lines := bufio.NewScanner(out)
	for _, want := range []string{"https://roofs.test/", "nobody has an account yet", "https://roofs.test/first-owner#"} {
		if !lines.Scan() || !strings.HasPrefix(lines.Text(), want) {
			t.Fatalf("it says %q, want %q", lines.Text(), want)
		}
	}
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: world.Roots},
		DialContext: func(ctx context.Context, network, _ string) (net.Conn, error) {
			return new(net.Dialer).DialContext(ctx, network, at)
		}}}
	w, err := client.Get("https://roofs.test/healthz")
	if err != nil {
		t.Fatalf("%v; the server says %s", err, errs.String())
	}
	w.Body.Close()
	if w.StatusCode != http.StatusOK || w.Header.Get("Strict-Transport-Security") == "" {
		t.Errorf("%d, HSTS %q", w.StatusCode, w.Header.Get("Strict-Transport-Security"))
	}
	if _, err := client.Get("https://other.test/healthz"); err == nil {
		t.Error("another name has a certificate")
	}
}

func TestWhatAPublicNameAsks(t *testing.T) {
	for said, want := range map[string]string{"--public roofs.test": "agree", "--public box.lan --acme-agree": "private network", "--public roofs.test --acme-agree --name box.lan": "leave --name",
		"--public roofs.test --acme-agree --hand-out :1": "leave --name"} {
		var errs bytes.Buffer
		args := append([]string{"serve", "--data", t.TempDir(), "--listen", "127.0.0.1:0"}, strings.Fields(said)...)
		if code := run(args, nil, io.Discard, &errs); code != exitUsage || !strings.Contains(errs.String(), want) {
			t.Errorf("%s: exit code %d, %s", said, code, errs.String())
		}
	}
}

// What is printed is an address that the certificate is for.
func TestTheAddressPrintedIsOneOfTheCertificate(t *testing.T) {
	names := authority.Names{DNS: []string{"box", "box.local"}, Addresses: []netip.Addr{netip.MustParseAddr("192.168.7.20"), netip.MustParseAddr("127.0.0.1")}}
	for on, want := range map[string]string{"0.0.0.0:8443": "192.168.7.20:8443", "[::]:8443": "192.168.7.20:8443", "127.0.0.1:1": "127.0.0.1:1", "192.168.7.20:1": "192.168.7.20:1",
		"203.0.113.9:8443": "192.168.7.20:8443", "box:1": "box:1"} {
		if got := host(on, names); got != want {
			t.Errorf("listening on %s it prints %s, want %s", on, got, want)
		}
	}
}

func TestHandOutAndHosts(t *testing.T) {
	for said, want := range map[string]string{":8443": ":8442", "192.168.7.20:443": "192.168.7.20:442", ":0": "", ":1": ""} {
		if at, err := (&standing{listen: said}).handOutAt(); err != nil || at != want {
			t.Errorf("--listen %s: handed out at %q, want %q (%v)", said, at, want, err)
		}
	}
	for said, want := range map[string]bool{"127.0.0.1:0": false, "localhost:8080": false, "[::1]:0": false, ":8443": true, "0.0.0.0:1": true, "[::]:1": true,
		"192.168.7.20:8443": true, "box.lan:8443": true, "nonsense": false} {
		if s := (&standing{listen: said}); s.beyond() != want {
			t.Errorf("--listen %s: on a network %v, want %v", said, s.beyond(), want)
		}
	}
}

// With an owner it listens beyond this computer, encrypted, and whoever is not signed in is told so.
func TestServeBeyondThisComputerWithAnOwner(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	var invited bytes.Buffer
	if code := run([]string{"people", "add", "asha", "--role", "owner", "--data", data}, nil, &invited, io.Discard); code != exitDone {
		t.Fatalf("people add: %d", code)
	}
	said, end := encryptedIn(t, data, "--listen", "0.0.0.0:0", "--name", "127.0.0.1")
	client := trusting(t, data)
	at, err := url.Parse(said[0])
	if err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]int{"healthz": 200, "api/jobs": 401, "api/version": 200} {
		w, err := client.Get("https://127.0.0.1:" + at.Port() + "/" + path)
		if err != nil {
			t.Fatal(err)
		}
		w.Body.Close()
		if w.StatusCode != want {
			t.Errorf("%s: %d, want %d", path, w.StatusCode, want)
		}
	}
	end()
}
