package web

import (
	"container/list"
	"net/http"
	"net/netip"
	"strconv"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// How often may be asked on a network, where nothing else is said. A page with its engine is some twenty requests, papers of a job
// thirty; an office shares one address.
const (
	AddressPerSecond = 50
	addressAtOnce    = 6 // seconds' worth that may come at once
	accountPerSecond = 20
	accountAtOnce    = 120
	mostRemembered   = 16_384 // addresses or accounts; who was not heard of longest is forgotten
	addressBits6     = 64     // of an address of IPv6: what one household is given (RFC 6177)
)

// limit lets so many requests a second through for each key. It remembers a bounded number of keys.
type limit struct {
	perSecond rate.Limit
	atOnce    int
	most      int

	mu    sync.Mutex
	of    map[string]*list.Element
	order *list.List // of *counted, that heard of last at the front
}

type counted struct {
	key    string
	bucket *rate.Limiter
}

func limitOf(perSecond float64, atOnce int) *limit {
	return &limit{perSecond: rate.Limit(perSecond), atOnce: atOnce, most: mostRemembered, of: map[string]*list.Element{}, order: list.New()}
}

// allows reports whether a key may ask at a time.
func (l *limit) allows(key string, now time.Time) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	at, known := l.of[key]
	if !known {
		if l.order.Len() >= l.most {
			last := l.order.Back()
			delete(l.of, last.Value.(*counted).key)
			l.order.Remove(last)
		}
		at = l.order.PushFront(&counted{key, rate.NewLimiter(l.perSecond, l.atOnce)})
		l.of[key] = at
	}
	l.order.MoveToFront(at)
	return at.Value.(*counted).bucket.AllowN(now, 1)
}

// addressKey is by what an address is counted.
func addressKey(host string) string {
	at, err := netip.ParseAddr(host)
	if err != nil {
		return host
	}
	if at = at.Unmap().WithZone(""); at.Is6() {
		if p, err := at.Prefix(addressBits6); err == nil {
			return p.String()
		}
	}
	return at.String()
}

// limits are those of a server on a network; nil on this computer alone.
type limits struct{ address, account *limit }

// limitsOf makes the limits; perSecond is by address.
func limitsOf(perSecond float64) *limits {
	return &limits{limitOf(perSecond, int(perSecond*addressAtOnce)+1), limitOf(accountPerSecond, accountAtOnce)}
}

// errOften tells somebody to wait.
var errOften = &problem{status: http.StatusTooManyRequests, Code: "often", Place: "request", Message: "too much is asked at once",
	Remedy: "Wait a second, then ask again"}

// often refuses for too much at once.
func (s *Server) often(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Retry-After", strconv.Itoa(1))
	s.refuse(w, r, errOften)
}

// tooOften reports whether an address, or an account where one is named, asks too much.
func (s *Server) tooOften(r *http.Request, account string) bool {
	switch {
	case s.limits == nil:
		return false
	case account != "":
		return !s.limits.account.allows(account, time.Now())
	}
	return !s.limits.address.allows(addressKey(from(r)), time.Now())
}
