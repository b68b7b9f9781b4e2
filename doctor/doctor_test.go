package doctor

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gelwright/authority"
	"gelwright/store"
)

var today = time.Date(2026, 5, 12, 9, 0, 0, 0, time.UTC)

// well is a patient with whom nothing is wrong.
func well(t *testing.T) Patient {
	t.Helper()
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	return Patient{Data: dir, Now: func() time.Time { return today }, Built: today.AddDate(0, -1, 0), Free: func(string) (uint64, error) { return 50 << 30, nil },
		Store: func(context.Context) (Kept, error) { return Kept{today.Add(-time.Hour), 2}, nil },
		Files: func(context.Context) (int, []error) { return 7, nil },
		Names: []string{"localhost"}, Listen: "127.0.0.1:0", Parts: []Part{{Name: "the page"}}}
}

func find(t *testing.T, p Patient, check string) Finding {
	t.Helper()
	for _, f := range Examine(t.Context(), p) {
		if f.Check == check {
			return f
		}
	}
	t.Fatalf("%s is not looked at", check)
	return Finding{}
}

func TestNothingIsWrong(t *testing.T) {
	list := Examine(t.Context(), well(t))
	if len(list) != len(checks) || !Sound(list) {
		t.Errorf("%+v", list)
	}
	for _, f := range list {
		if f.State != OK && (f.Check != "weather service" || f.State != Blank) || f.Found == "" || f.Remedy != "" {
			t.Errorf("%+v", f)
		}
	}
	if list := Examine(t.Context(), Patient{}); !Sound(list) {
		t.Errorf("nothing to look at: %+v", list)
	}
}

// Each fault is made and must be found, with what to do.
func TestEachFaultIsFound(t *testing.T) {
	away := httptest.NewServer(http.NotFoundHandler())
	closed := away.Listener.Addr().String()
	away.Close()
	var names authority.Names
	names.DNS = []string{"box.lan"}
	begun := func(t *testing.T, p *Patient, on time.Time) {
		t.Helper()
		if _, _, err := authority.Begin(p.Data, names, on); err != nil {
			t.Fatal(err)
		}
	}
	for _, x := range []struct {
		check string
		make  func(t *testing.T, p *Patient)
		state State
		says  string
		do    string
	}{
		{"data folder", func(t *testing.T, p *Patient) { p.Data = filepath.Join(p.Data, "none") }, Bad, "is not there", "gelwright serve --data"},
		{"data folder", func(t *testing.T, p *Patient) {
			p.Data = filepath.Join(p.Data, "file")
			if err := os.WriteFile(p.Data, nil, 0o600); err != nil {
				t.Fatal(err)
			}
		}, Bad, "is no folder", "Give the folder"},
		{"data folder", func(t *testing.T, p *Patient) {
			if err := os.Chmod(p.Data, 0o750); err != nil {
				t.Fatal(err)
			}
		}, Bad, "can look into", "chmod 700"},
		{"disk", func(t *testing.T, p *Patient) { p.Free = func(string) (uint64, error) { return 199 << 20, nil } }, Bad, "199 MB are left", "room now"},
		{"disk", func(t *testing.T, p *Patient) { p.Free = func(string) (uint64, error) { return 200 << 20, nil } }, Warn, "200 MB are left", "room soon"},
		{"disk", func(t *testing.T, p *Patient) { p.Free = func(string) (uint64, error) { return 2 << 30, nil } }, OK, "2048 MB are left", ""},
		{"disk", func(t *testing.T, p *Patient) {
			p.Free = func(string) (uint64, error) { return 0, errors.ErrUnsupported }
		}, Blank, "does not say", ""},
		{"what is kept", func(t *testing.T, p *Patient) {
			p.Store = func(context.Context) (Kept, error) {
				return Kept{}, &store.Error{Kind: store.Newer, Place: "gelwright.db", Found: "it is newer", Remedy: "Take a newer release"}
			}
		}, Bad, "gelwright.db: it is newer", "Take a newer release"},
		{"what is kept", func(t *testing.T, p *Patient) {
			p.Store = func(context.Context) (Kept, error) { return Kept{}, errors.New("odd") }
		}, Bad, "odd", "the log of the server"},
		{"files", func(t *testing.T, p *Patient) {
			p.Files = func(context.Context) (int, []error) {
				e := &store.Error{Kind: store.Damaged, Place: "files/ab", Found: "other bytes", Remedy: "Bring it back"}
				return 9, []error{e, e, e}
			}
		}, Bad, "files/ab: other bytes; and 2 more", "Bring it back"},
		{"clock", func(t *testing.T, p *Patient) { p.Built = today.AddDate(0, 0, 2) }, Bad, "made on 2026-05-14", "Set the clock"},
		{"clock", func(t *testing.T, p *Patient) {
			p.Store = func(context.Context) (Kept, error) { return Kept{today.Add(25 * time.Hour), 1}, nil }
		}, Warn, "a job was changed on 2026-05-13", "Set the clock"},
		{"people", func(t *testing.T, p *Patient) {
			p.Store = func(context.Context) (Kept, error) { return Kept{today, 0}, nil }
		}, OK, "none is needed", ""},
		{"people", func(t *testing.T, p *Patient) {
			p.Store = func(context.Context) (Kept, error) { return Kept{today, 0}, nil }
			p.Listen = "0.0.0.0:0"
		}, Warn, "nobody can sign in", "Start the server anew"},
		{"authority", func(t *testing.T, p *Patient) { begun(t, p, today.AddDate(-10, 0, 0)) }, Bad, "it ended on 2026-05-12", "renew"},
		{"authority", func(t *testing.T, p *Patient) { begun(t, p, today.AddDate(-9, 0, -1)) }, Warn, "it ends on 2027-05-11", "renew"},
		{"authority", func(t *testing.T, p *Patient) { begun(t, p, today.AddDate(0, 0, 2)) }, Bad, "it begins on", "Set the clock"},
		{"authority", func(t *testing.T, p *Patient) {
			begun(t, p, today)
			if err := os.Chmod(authority.Kept(p.Data), 0o640); err != nil {
				t.Fatal(err)
			}
		}, Bad, "can read the key", "chmod 600"},
		{"authority", func(t *testing.T, p *Patient) {
			begun(t, p, today)
			if err := os.WriteFile(authority.Kept(p.Data), []byte("junk"), 0o600); err != nil {
				t.Fatal(err)
			}
		}, Bad, "holds no authority", "renew"},
		{"authority", func(t *testing.T, p *Patient) { begun(t, p, today); p.Names = nil }, Warn, "it may not speak for", "renew"},
		{"names", func(t *testing.T, p *Patient) { p.Names = []string{"localhost", "nowhere.invalid", "192.0.2.7"} }, Bad, "nowhere.invalid is not found", "name server"},
		{"port", func(t *testing.T, p *Patient) { p.Listen = "8443" }, Bad, "is no address", ":8443"},
		{"port", func(t *testing.T, p *Patient) { p.Listen = held(t, nil) }, Bad, "no gelwright", "another port"},
		{"port", func(t *testing.T, p *Patient) { p.Listen = held(t, http.NotFoundHandler()) }, Bad, "no gelwright", "another port"},
		{"port", func(t *testing.T, p *Patient) {
			p.Listen = held(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { w.WriteHeader(http.StatusServiceUnavailable) }))
		}, Bad, "does not answer", "start the server anew"},
		{"port", func(t *testing.T, p *Patient) {
			p.Listen = held(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				if r.URL.Path != "/healthz" {
					t.Errorf("%s is asked", r.URL.Path)
				}
			}))
		}, OK, "the server answers", ""},
		{"weather service", func(t *testing.T, p *Patient) { p.Weather = "https://" + closed + "/x" }, Warn, "offline is normal", "monthly norms"},
		{"weather service", func(t *testing.T, p *Patient) { p.Weather = "nonsense" }, Bad, "no address", "https://"},
		{"weather service", func(t *testing.T, p *Patient) { p.Weather = "https://" + held(t, http.NotFoundHandler()) }, OK, "can be reached", ""},
		{"program", func(t *testing.T, p *Patient) {
			p.Parts = append(p.Parts, Part{Name: "the engine", Err: errors.New("it is not in the program"), Remedy: "Build it"})
		}, Bad, "the engine: it is not in the program", "Build it"},
	} {
		p := well(t)
		x.make(t, &p)
		f := find(t, p, x.check)
		if f.State != x.state || !strings.Contains(f.Found, x.says) || !strings.Contains(f.Remedy, x.do) || (f.State == OK || f.State == Blank) != (f.Remedy == "") {
			t.Errorf("%s, %s: %+v", x.check, x.says, f)
		}
		if list := Examine(t.Context(), p); Sound(list) != (x.state != Bad) {
			t.Errorf("%s, %s: sound %v: %+v", x.check, x.says, Sound(list), list)
		}
	}
}

// held is a port that somebody else has; nil says nothing.
func held(t *testing.T, h http.Handler) string {
	t.Helper()
	if h != nil {
		server := httptest.NewServer(h)
		t.Cleanup(server.Close)
		return server.Listener.Addr().String()
	}
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { on.Close() })
	go func() {
		for {
			c, err := on.Accept()
			if err != nil {
				return
			}
			fmt.Fprintln(c, "220 post office")
			c.Close()
		}
	}()
	return on.Addr().String()
}

// The system's own answer is of the right size: the disk of a test has more than nothing and less than an exabyte.
func TestTheDiskIsAsked(t *testing.T) {
	n, err := free(t.TempDir())
	if err != nil || n == 0 || n > 1<<60 {
		t.Errorf("%d bytes are free, %v", n, err)
	}
	if _, err := free(filepath.Join(t.TempDir(), "none")); err == nil {
		t.Error("a folder that is not there has a disk")
	}
}
