package browser

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
)

// patience is how long a thing may take to show on a machine that does much else.
const patience = 60 * time.Second

// root of the project, seen from this package.
var root, _ = filepath.Abs(filepath.Join("..", ".."))

// browser is one Chromium for all tests of this package, started when the first asks for it.
var browser struct {
	once sync.Once
	ctx  context.Context
	end  func()
	err  error
}

// program is the path of gelwright, built with the engine within it.
var program struct {
	once sync.Once
	path string
	err  error
}

func TestMain(m *testing.M) {
	code := m.Run()
	if browser.end != nil {
		browser.end()
	}
	os.Exit(code)
}

// chromium starts the browser.
func chromium() {
	path, err := findChromium()
	if err != nil {
		browser.err = err
		return
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path),
		// Whatever is not this computer is not found: a page that asks elsewhere shows it.
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND , EXCLUDE 127.0.0.1 , EXCLUDE localhost"),
		chromedp.Flag("ignore-certificate-errors-spki-list", trusted()))
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	allocator, endAllocator := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, endBrowser := chromedp.NewContext(allocator)
	browser.ctx, browser.end = ctx, func() { endBrowser(); endAllocator() }
	browser.err = chromedp.Do(ctx)
}

func findChromium() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errors.New("the tests of the page need a browser: apt-get install chromium")
}

// built builds the program.
func built() {
	engine := exec.Command("bash", filepath.Join(root, "scripts", "engine.sh"), "5")
	if out, err := engine.CombinedOutput(); err != nil {
		program.err = fmt.Errorf("the engine: %w\n%s", err, out)
		return
	}
	program.path = filepath.Join(root, "build", "gelwright")
	build := exec.Command("go", "build", "-o", program.path, "./cmd/gelwright")
	build.Dir = root
	if out, err := build.CombinedOutput(); err != nil {
		program.err = fmt.Errorf("the program: %w\n%s", err, out)
	}
}

// look is how a page is looked at.
type look struct {
	width, height int64
	touch         bool
	light         string // "light" or "dark", as the system says it; empty for light
}

// The screens that everything is looked at on.
var (
	phone = look{width: 390, height: 844, touch: true}
	desk  = look{width: 1440, height: 900}
)

// screen is a tab with a page in it.
type screen struct {
	t   *testing.T
	ctx context.Context
	// url is where the page comes from; no other host may be asked.
	url string
	look

	// watched are the tab's workers whose network is watched.
	watched map[target.ID]bool

	mu     sync.Mutex
	faults []string
	asked  int
}

// serving is the running program.
type serving struct {
	t   *testing.T
	cmd *exec.Cmd
	// url is its address, page that of the job which was opened.
	url, page string
}

// serve starts the program on a folder of jobs; more are options of serve.
func serve(t *testing.T, data string, more ...string) *serving {
	t.Helper()
	needs(t)
	program.once.Do(built)
	if program.err != nil {
		t.Fatal(program.err)
	}
	s := &serving{t: t, cmd: exec.Command(program.path, append([]string{"serve", "--data", data}, more...)...)}
	s.cmd.Stderr = os.Stderr
	out, err := s.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.end)
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatalf("no address was printed: %v", err)
	}
	s.page = strings.TrimSpace(line)
	s.url, _, _ = strings.Cut(s.page, "#")
	return s
}

// end ends the program; a second time it does nothing.
func (s *serving) end() {
	if s.cmd.ProcessState == nil {
		s.cmd.Process.Signal(syscall.SIGTERM)
		s.cmd.Wait()
	}
}

// needs leaves a test out of short runs, and ends it with words where there is no browser.
func needs(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser")
	}
	if browser.once.Do(chromium); browser.err != nil {
		t.Fatal(browser.err)
	}
}

// open opens an address in a tab of its own. When the test ends, errors on the console and requests to anywhere else fail it.
func open(t *testing.T, address string, l look) *screen {
	t.Helper()
	needs(t)
	return tab(t, browser.ctx, address, l)
}

// tab opens an address in a tab of its own, in some browser.
func tab(t *testing.T, in context.Context, address string, l look) *screen {
	t.Helper()
	base, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	s := &screen{t: t, url: base.Scheme + "://" + base.Host, look: l}
	ctx, end := chromedp.NewContext(in, chromedp.WithNewBrowserContext())
	t.Cleanup(end)
	s.ctx = ctx
	if err := chromedp.Listen(ctx, s.hear); err != nil {
		t.Fatal(err)
	}
	s.call("the network", func() error { _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); return err })
	s.call("the console", func() error { _, err := chromedp.Call(ctx, log.Enable, cdp.Empty{}); return err })
	options := []chromedp.EmulateViewportOption{}
	if l.touch {
		options = append(options, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	s.do("the size of the screen", chromedp.EmulateViewport(l.width, l.height, options...))
	s.lit(l.light)
	s.do("opening "+address, chromedp.Navigate(address))
	t.Cleanup(s.sound)
	return s
}

// lit sets whether the system is light or dark.
func (s *screen) lit(light string) {
	s.t.Helper()
	if light == "" {
		light = "light"
	}
	s.call("the light", func() error {
		_, err := chromedp.Call(s.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: light}, {Name: "prefers-reduced-motion", Value: "reduce"}}})
		return err
	})
}

// hear notes what the tab asks for and complains of.
func (s *screen) hear(ev any) {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch e := ev.(type) {
	case *network.EventRequestWillBeSent:
		s.asked++
		// A blob is the page's own; that of a page opened from disk bears no host.
		own := strings.HasPrefix(e.Request.URL, s.url+"/") || strings.HasPrefix(e.Request.URL, "data:") ||
			strings.HasPrefix(e.Request.URL, "blob:"+s.url+"/") || strings.HasPrefix(e.Request.URL, "blob:null/") && s.url == "file://"
		if at := e.Request.URL; !own {
			s.faults = append(s.faults, "another place is asked: "+at)
		}
	case *runtime.EventExceptionThrown:
		s.faults = append(s.faults, "a script broke down: "+thrown(e.ExceptionDetails))
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError {
			s.faults = append(s.faults, "the console: "+said(e.Args))
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			s.faults = append(s.faults, "the console: "+e.Entry.Text+" "+e.Entry.URL)
		}
	}
}

func thrown(x *runtime.ExceptionDetails) string {
	if x.Exception != nil && x.Exception.Description != "" {
		return x.Exception.Description
	}
	return x.Text
}

func said(args []*runtime.RemoteObject) string {
	var words []string
	for _, a := range args {
		if a.Description != "" {
			words = append(words, a.Description)
		} else {
			words = append(words, string(a.Value))
		}
	}
	return strings.Join(words, " ")
}

// sound holds the tab to what every page must keep.
func (s *screen) sound() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, f := range s.faults {
		s.t.Error(f)
	}
	if s.asked == 0 {
		s.t.Error("no request was seen: the network was not watched")
	}
}

// workers watches what the tab's workers ask for and complain of, as the tab itself is watched.
func (s *screen) workers() {
	s.t.Helper()
	list, err := chromedp.Targets(s.ctx)
	if err != nil {
		s.t.Fatalf("the workers: %v", err)
	}
	own := chromedp.FromContext(s.ctx).BrowserContextID
	for _, x := range list {
		if x.Type != "worker" || x.BrowserContextID != own || s.watched[x.TargetID] {
			continue
		}
		ctx, end := chromedp.NewContext(s.ctx, chromedp.WithTargetID(x.TargetID))
		s.t.Cleanup(end)
		if err := chromedp.Listen(ctx, s.hear); err != nil {
			s.t.Fatalf("a worker: %v", err)
		}
		if err := chromedp.Do(ctx); err != nil {
			s.t.Fatalf("a worker: %v", err)
		}
		if s.watched == nil {
			s.watched = map[target.ID]bool{}
		}
		s.watched[x.TargetID] = true
	}
}

// forgiven takes back what the tab has complained of up to now, where the test has brought it about.
func (s *screen) forgiven() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	was := s.faults
	s.faults = nil
	return was
}

// do runs actions that give nothing back.
func (s *screen) do(what string, actions ...chromedp.Action[chromedp.Void]) {
	s.t.Helper()
	ctx, end := context.WithTimeout(s.ctx, patience)
	defer end()
	if err := chromedp.Do(ctx, actions...); err != nil {
		s.t.Fatalf("%s: %v", what, err)
	}
}

// call runs what a browser is told.
func (s *screen) call(what string, f func() error) {
	s.t.Helper()
	if err := f(); err != nil {
		s.t.Fatalf("%s: %v", what, err)
	}
}

// until waits until something holds, and fails with words where it never does.
func (s *screen) until(what string, holds func() bool) {
	s.t.Helper()
	for end := time.Now().Add(patience); ; {
		if holds() {
			return
		}
		if time.Now().After(end) {
			s.keep("failed-" + strings.ReplaceAll(s.t.Name(), "/", "-"))
			s.t.Fatalf("in %s it did not come to this: %s\nThe screen says:\n%s", patience, what, s.outline())
		}
		select {
		case <-s.ctx.Done():
			s.t.Fatal(s.ctx.Err())
		case <-time.After(50 * time.Millisecond):
		}
	}
}

// keep keeps a picture of the screen under build/screens.
func (s *screen) keep(name string) {
	s.t.Helper()
	raw, err := chromedp.Run(s.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		s.t.Fatalf("a picture of the screen: %v", err)
	}
	dir := filepath.Join(root, "build", "screens")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		s.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), raw, 0o644); err != nil {
		s.t.Fatal(err)
	}
}

// eval asks a script's value, for what cannot be seen: geometry, storage, times.
func eval[T any](s *screen, script string) T {
	s.t.Helper()
	ctx, end := context.WithTimeout(s.ctx, patience)
	defer end()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		s.t.Fatalf("%s: %v", script, err)
	}
	return v
}
