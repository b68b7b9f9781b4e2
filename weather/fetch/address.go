package fetch

import (
	"fmt"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"gelwright/weather"
)

// Provider is a weather service as the firm file names it.
type Provider struct {
	// Name in messages: "met.no".
	Name string
	// Address is the template of what is asked: {lat} and {lon} in degrees with
	// four decimals, {elev} in whole metres above the sea. For a gridpoint of the
	// US National Weather Service it is the gridpoint's own address without them.
	Address string
	// Asker is sent as User-Agent: the firm and how to reach it. MET Norway and the
	// US National Weather Service require it.
	Asker string
}

// AddressFault is a fault in a provider's address.
type AddressFault struct {
	Provider, Fault, Remedy string
}

// Error prints provider, fault and remedy.
func (e *AddressFault) Error() string {
	return fmt.Sprintf("weather provider %q: %s. %s", e.Provider, e.Fault, e.Remedy)
}

var hole = regexp.MustCompile(`\{[^{}]*\}`)

// URL is the address for a site.
func (p Provider) URL(site weather.Site) (string, error) {
	bad := func(fault, remedy string) (string, error) {
		return "", &AddressFault{Provider: p.Name, Fault: fault, Remedy: remedy}
	}
	if strings.TrimSpace(p.Address) == "" {
		return bad("no address is given", "Write one in the firm file, or give a forecast as a file")
	}
	if err := site.Check(); err != nil {
		return bad(err.Error(), "Correct the site")
	}
	fill := strings.NewReplacer(
		"{lat}", strconv.FormatFloat(site.LatDeg, 'f', 4, 64),
		"{lon}", strconv.FormatFloat(site.LonDeg, 'f', 4, 64),
		"{elev}", strconv.FormatFloat(site.ElevM, 'f', 0, 64))
	text := fill.Replace(p.Address)
	if left := hole.FindString(text); left != "" {
		return bad("the address asks for "+left, "Only {lat}, {lon} and {elev} are known")
	}
	u, err := url.Parse(text)
	switch {
	case err != nil:
		return bad("the address cannot be read", "Write a whole address that begins with https://")
	case u.Scheme != "https", u.Host == "":
		return bad("the address is not asked over https", "Write a whole address that begins with https://")
	case u.User != nil:
		return bad("the address holds a name or password", "Use a service that asks for none")
	}
	return u.String(), nil
}
