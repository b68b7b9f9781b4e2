package doctor

import (
	"context"
	"crypto/tls"
	"errors"
	"io/fs"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"strings"
	"time"

	"gelwright/authority"
)

// How long a look over the network may take.
const patience = 5 * time.Second

// soon is when the end of the authority is told: each phone has to be told of a new one.
const soon = 365 * 24 * time.Hour

func holdsAuthority(_ context.Context, p *Patient) Finding {
	if p.Data == "" {
		return blank("no data folder is named")
	}
	path := authority.Kept(p.Data)
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return ok("there is none yet: 'gelwright serve' makes one when it first listens beyond this computer")
	}
	if err != nil {
		return bad("Give its permissions to whoever runs the server", "%v", err)
	}
	if open := info.Mode().Perm() & 0o077; private && open != 0 {
		return bad("Close it: chmod 600 "+path+"; if somebody may have copied it: gelwright authority renew",
			"others on this machine can read the key %s (mode %04o)", path, info.Mode().Perm())
	}
	a, err := authority.Open(p.Data)
	if err != nil {
		return bad("Bring the file back from a copy, or make a new one: gelwright authority renew", "%v", err)
	}
	now, end := p.Now(), a.Ends()
	switch day := end.Format(time.DateOnly); {
	case !now.Before(end):
		return bad("Make a new one and print its page for each phone: gelwright authority renew", "it ended on %s", day)
	case now.Before(a.Begins()):
		return bad("Set the clock", "it begins on %s, and the clock says %s", a.Begins().Format(time.DateOnly), now.UTC().Format(time.DateOnly))
	case end.Sub(now) < soon:
		return warn("Make a new one before then and print its page for each phone: gelwright authority renew", "it ends on %s", day)
	}
	machine, err := authority.Machine(p.Names...)
	if err != nil {
		return bad("Give names as office.lan", "%v", err)
	}
	if not := a.Not(machine); len(not) > 0 {
		return warn("Open the server by another of its names, or make a new authority: gelwright authority renew",
			"it may not speak for %s", strings.Join(not, ", "))
	}
	return ok("it holds until %s", end.Format(time.DateOnly))
}

// accounts looks for somebody who may sign in.
func accounts(ctx context.Context, p *Patient) Finding {
	if p.Store == nil {
		return blank("nothing that is kept is named")
	}
	is, err := p.Store(ctx)
	switch {
	case err != nil:
		return blank("what is kept does not answer")
	case is.Accounts > 0:
		return ok("%d accounts were made", is.Accounts)
	case outside(p.Listen):
		return warn("Start the server anew: it prints an address by which the first owner is made, once, within an hour; "+
			"or 'gelwright people add NAME --role owner'", "nobody has an account yet, so nobody can sign in")
	}
	return ok("nobody has an account yet: on this computer alone none is needed")
}

// outside reports whether a server listens beyond this computer.
func outside(listen string) bool {
	host, _, err := net.SplitHostPort(listen)
	at, bad := netip.ParseAddr(host)
	return err == nil && host != "localhost" && (bad != nil || !at.IsLoopback())
}

func names(ctx context.Context, p *Patient) Finding {
	if len(p.Names) == 0 {
		return blank("no name is given with --name")
	}
	ctx, stop := context.WithTimeout(ctx, patience)
	defer stop()
	var lost []string
	for _, n := range p.Names {
		if _, err := netip.ParseAddr(n); err == nil {
			continue
		}
		if _, err := net.DefaultResolver.LookupHost(ctx, n); err != nil {
			lost = append(lost, n)
		}
	}
	if len(lost) > 0 {
		return bad("Have the network's name server (often the router) point it at this machine, or use an address",
			"%s is not found", strings.Join(lost, ", "))
	}
	return ok("%s can be found", strings.Join(p.Names, ", "))
}

func port(ctx context.Context, p *Patient) Finding {
	if p.Listen == "" {
		return blank("no address is given with --listen")
	}
	host, number, err := net.SplitHostPort(p.Listen)
	if err != nil {
		return bad("Write it as :8443", "%q is no address and port", p.Listen)
	}
	on, err := new(net.ListenConfig).Listen(ctx, "tcp", p.Listen)
	if err == nil {
		on.Close()
		return ok("%s is free: no server runs there", p.Listen)
	}
	if at, bad := netip.ParseAddr(host); host == "" || bad == nil && at.IsUnspecified() {
		host = "127.0.0.1"
	}
	if status := health(ctx, net.JoinHostPort(host, number), p.Names); status == http.StatusOK {
		return ok("the server answers on %s", p.Listen)
	} else if status == http.StatusServiceUnavailable {
		return bad("Look at what else is told here, then start the server anew",
			"the server on %s says that what is kept does not answer", p.Listen)
	}
	if errors.Is(err, fs.ErrPermission) {
		return bad("Give one of 1024 or more, as :8443", "this user may not open %s", p.Listen)
	}
	return bad("End the other program, or give another port", "%s cannot be opened, and what is there is no gelwright: %v", p.Listen, err)
}

// health asks whatever listens on an address for its health, encrypted or not, by its address and by each of its names, since under
// a public certificate it answers to these alone; 0 for no answer. Whose certificate it has is not asked: nothing is told to it.
func health(ctx context.Context, address string, names []string) int {
	for _, name := range append([]string{""}, names...) {
		for _, scheme := range []string{"https", "http"} {
			if status := healthOf(ctx, scheme+"://"+address+"/healthz", name); status == http.StatusOK || status == http.StatusServiceUnavailable {
				return status
			}
		}
	}
	return 0
}

// healthOf asks one address under one name; an empty name is the address itself.
func healthOf(ctx context.Context, address, name string) int {
	client := &http.Client{Timeout: patience, Transport: &http.Transport{DisableKeepAlives: true,
		TLSClientConfig: &tls.Config{InsecureSkipVerify: true, ServerName: name}}}
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return 0
	}
	if name != "" {
		r.Host = name
	}
	w, err := client.Do(r)
	if err != nil {
		return 0
	}
	w.Body.Close()
	return w.StatusCode
}

func weather(ctx context.Context, p *Patient) Finding {
	if p.Weather == "" {
		return blank("no weather service is given with --weather")
	}
	u, err := url.Parse(p.Weather)
	if err != nil || u.Hostname() == "" {
		return bad("Give a whole address, as https://weather.example.org/", "%q is no address of a service", p.Weather)
	}
	number := u.Port()
	if number == "" {
		number = "443"
	}
	ctx, stop := context.WithTimeout(ctx, patience)
	defer stop()
	c, err := new(net.Dialer).DialContext(ctx, "tcp", net.JoinHostPort(u.Hostname(), number))
	if err != nil {
		return warn("Without it plans are made from a file or from monthly norms",
			"%s cannot be reached: offline is normal on the road", u.Hostname())
	}
	c.Close()
	return ok("%s can be reached", u.Hostname())
}

func built(_ context.Context, p *Patient) Finding {
	if len(p.Parts) == 0 {
		return blank("what is built in is not known")
	}
	var in []string
	for _, part := range p.Parts {
		if part.Err != nil {
			return bad(part.Remedy, "%s: %v", part.Name, part.Err)
		}
		in = append(in, part.Name)
	}
	return ok("built in: %s", strings.Join(in, ", "))
}
