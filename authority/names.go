package authority

import (
	"crypto/x509"
	"fmt"
	"net"
	"net/netip"
	"os"
	"slices"
	"strings"
)

// Names are what a machine is called on its network.
type Names struct {
	// DNS are names in small letters without a dot at their end, the machine's own first.
	DNS []string
	// Addresses are its addresses on the network, those of IPv4 first.
	Addresses []netip.Addr
}

// private are the endings that no public name has, each with its source.
var private = []string{
	"localhost", // RFC 6761, 6.3
	"local",     // RFC 6762, names that machines give themselves
	"home.arpa", // RFC 8375
	"internal",  // ICANN board resolution 2024.07.29.06
	"lan",       // no registry's: what home routers append
}

// privateNetworks are the addresses that no public network routes.
var privateNetworks = []netip.Prefix{
	netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("172.16.0.0/12"), netip.MustParsePrefix("192.168.0.0/16"), // RFC 1918
	netip.MustParsePrefix("100.64.0.0/10"),  // RFC 6598, shared; private meshes use it
	netip.MustParsePrefix("169.254.0.0/16"), // RFC 3927
	netip.MustParsePrefix("127.0.0.0/8"), netip.MustParsePrefix("::1/128"),
	netip.MustParsePrefix("fc00::/7"),  // RFC 4193
	netip.MustParsePrefix("fe80::/10"), // RFC 4291, of one link
}

func privateRanges() []*net.IPNet {
	var out []*net.IPNet
	for _, p := range privateNetworks {
		out = append(out, &net.IPNet{IP: p.Addr().AsSlice(), Mask: net.CIDRMask(p.Bits(), p.Addr().BitLen())})
	}
	return out
}

// Machine gives the names and addresses of this machine: what the system calls it, that name on the local link, those that are
// told (more), and every address of a network card that is up. Addresses of one link alone are left out: no browser takes them.
func Machine(more ...string) (Names, error) {
	var n Names
	if host, err := os.Hostname(); err == nil {
		n.add(host)
		if short, _, _ := strings.Cut(clean(host), "."); short != "" && short != "localhost" {
			n.add(short)
			n.add(short + ".local")
		}
	}
	for _, m := range more {
		if at, err := netip.ParseAddr(m); err == nil {
			n.Addresses = append(n.Addresses, at.Unmap())
		} else if !n.add(m) {
			return Names{}, fmt.Errorf("%q is no name of a machine: letters, digits, hyphens and dots are wanted, as office.lan", m)
		}
	}
	n.add("localhost")
	cards, err := net.InterfaceAddrs()
	if err != nil {
		return Names{}, fmt.Errorf("asking this system for its addresses: %w", err)
	}
	for _, c := range cards {
		if p, err := netip.ParsePrefix(c.String()); err == nil && !p.Addr().IsLinkLocalUnicast() {
			n.Addresses = append(n.Addresses, p.Addr().Unmap())
		}
	}
	slices.SortStableFunc(n.Addresses, func(a, b netip.Addr) int { return rank(a) - rank(b) })
	n.Addresses = slices.Compact(n.Addresses)
	return n, nil
}

// rank puts addresses that a phone can reach before those of this machine alone, and IPv4, which is short to type, before IPv6.
func rank(a netip.Addr) int {
	switch {
	case a.IsLoopback():
		return 2
	case a.Is4():
		return 0
	}
	return 1
}

// add takes a name that may be one, once.
func (n *Names) add(name string) bool {
	name = clean(name)
	if !named(name) {
		return false
	}
	if !slices.Contains(n.DNS, name) {
		n.DNS = append(n.DNS, name)
	}
	return true
}

func clean(name string) string {
	return strings.ToLower(strings.TrimSuffix(strings.TrimSpace(name), "."))
}

// named reports whether a text is a name of a machine (RFC 1123, 2.1).
func named(name string) bool {
	if name == "" || len(name) > 253 {
		return false
	}
	for _, part := range strings.Split(name, ".") {
		if part == "" || len(part) > 63 || part[0] == '-' || part[len(part)-1] == '-' {
			return false
		}
		for _, r := range part {
			if r != '-' && (r < '0' || r > '9') && (r < 'a' || r > 'z') {
				return false
			}
		}
	}
	return true
}

// Host is the machine's own name, for texts.
func (n Names) Host() string {
	if len(n.DNS) == 0 {
		return "this machine"
	}
	return n.DNS[0]
}

// Best is what a phone on the network finds the machine by: its first address, or its name where it has none but its own.
func (n Names) Best() string {
	for _, a := range n.Addresses {
		if !a.IsLoopback() {
			return a.String()
		}
	}
	return n.Host()
}

// Has reports whether a host of a request, without its port, is one of these names or addresses.
func (n Names) Has(host string) bool {
	if at, err := netip.ParseAddr(strings.Trim(host, "[]")); err == nil {
		return slices.Contains(n.Addresses, at.Unmap().WithZone(""))
	}
	return slices.Contains(n.DNS, clean(host))
}

// domains are the endings for which an authority of this machine may issue.
func (n Names) domains() []string {
	out := slices.Clone(private)
	for _, d := range n.DNS {
		if !within(d, out) {
			out = append(out, d)
		}
	}
	return out
}

// within reports whether a name ends in one of the domains (RFC 5280, 4.2.1.10).
func within(name string, domains []string) bool {
	return slices.ContainsFunc(domains, func(d string) bool { return name == d || strings.HasSuffix(name, "."+d) })
}

// parted parts names into those that an authority may issue for and those that it may not.
func (n Names) parted(a *x509.Certificate) (may Names, not []string) {
	for _, d := range n.DNS {
		if within(d, a.PermittedDNSDomains) {
			may.DNS = append(may.DNS, d)
		} else {
			not = append(not, d)
		}
	}
	for _, at := range n.Addresses {
		if slices.ContainsFunc(a.PermittedIPRanges, func(r *net.IPNet) bool { return r.Contains(at.AsSlice()) }) {
			may.Addresses = append(may.Addresses, at)
		} else {
			not = append(not, at.String())
		}
	}
	return may, not
}

// equal reports whether two machines are called the same.
func (n Names) equal(m Names) bool {
	return slices.Equal(n.DNS, m.DNS) && slices.Equal(n.Addresses, m.Addresses)
}

// May gives those names and addresses of a machine that the authority may issue for.
func (a *Authority) May(names Names) Names {
	may, _ := names.parted(a.cert)
	return may
}

// Not gives the names and addresses of a machine that the authority may not issue for.
func (a *Authority) Not(names Names) []string {
	_, not := names.parted(a.cert)
	return not
}
