package browser

import (
	"bufio"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/chromedp/chromedp"
)

// device is a browser of its own, whose store of certificates is that of a home folder; trusts puts the firm's authority there, as
// the printed page says of Linux.
func device(t *testing.T, authority string) context.Context {
	t.Helper()
	home := t.TempDir()
	store := filepath.Join(home, ".pki", "nssdb")
	if err := os.MkdirAll(store, 0o700); err != nil {
		t.Fatal(err)
	}
	tool := func(args ...string) {
		t.Helper()
		if out, err := exec.Command("certutil", args...).CombinedOutput(); err != nil {
			t.Fatalf("certutil (of Debian's libnss3-tools) %v: %v\n%s", args, err, out)
		}
	}
	tool("-N", "-d", "sql:"+store, "--empty-password")
	if authority != "" {
		tool("-A", "-d", "sql:"+store, "-t", "C,,", "-n", "firm", "-i", authority)
	}
	path, err := findChromium()
	if err != nil {
		t.Fatal(err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.Env("HOME="+home))
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	allocator, endAllocator := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, end := chromedp.NewContext(allocator)
	t.Cleanup(func() { end(); endAllocator() })
	return ctx
}

// Over HTTPS under the firm's own authority a browser that was told to trust it opens the page as a secure one, and one that was
// not refuses it.
func TestThePageOverHTTPSUnderTheFirmsAuthority(t *testing.T) {
	needs(t)
	program.once.Do(built)
	if program.err != nil {
		t.Fatal(program.err)
	}
	data := filepath.Join(t.TempDir(), "data")
	cmd := exec.Command(program.path, "serve", "--data", data, "--https", "--listen", "127.0.0.1:0", "--log", "quiet")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Signal(syscall.SIGTERM); cmd.Wait() })
	address, err := bufio.NewReader(out).ReadString('\n')
	if address = strings.TrimSpace(address); err != nil || !strings.HasPrefix(address, "https://127.0.0.1:") {
		t.Fatalf("the address is %q (%v)", address, err)
	}
	for _, trusts := range []bool{true, false} {
		authority := ""
		if trusts {
			authority = filepath.Join(data, "authority", "firm.crt")
		}
		ctx, end := context.WithTimeout(device(t, authority), patience)
		err := chromedp.Do(ctx, chromedp.Navigate(address))
		if !trusts {
			if err == nil || !strings.Contains(err.Error(), "ERR_CERT_AUTHORITY_INVALID") {
				t.Errorf("a browser that was not told: %v", err)
			}
			end()
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		const look = `new Promise((done) => { const look = () => /One blank roof/.test(document.body.innerText)
			? done([location.protocol, isSecureContext, crossOriginIsolated, "serviceWorker" in navigator].join(" ")) : setTimeout(look, 50); look(); })`
		seen, err := chromedp.Run(ctx, chromedp.Evaluate[string](look, chromedp.EvalAwaitPromise))
		if err != nil || seen != "https: true true true" {
			t.Errorf("the page is seen as %q (%v)", seen, err)
		}
		end()
	}
}
