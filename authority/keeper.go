package authority

import (
	"crypto/tls"
	"log/slog"
	"os"
	"strings"
	"sync"
	"time"
)

// lookEvery is how often the machine's names and the kept file are looked at while connections come.
const lookEvery = time.Minute

// Keeper has the certificate of this machine at hand: it is made when the first connection wants it, and anew before it ends, when
// the machine's names or addresses have changed, and when the authority was renewed. Its methods may be called from many goroutines.
type Keeper struct {
	data  string
	names func() (Names, error)
	now   func() time.Time
	log   *slog.Logger

	mu     sync.Mutex
	a      *Authority
	as     Names // the names that leaf is for, or was wanted for
	leaf   *tls.Certificate
	looked time.Time
	file   time.Time // when the kept file was written
}

// Keep has the authority of a data folder issue for the names that are asked for now and then. now is the clock.
func Keep(data string, a *Authority, names func() (Names, error), now func() time.Time, log *slog.Logger) (*Keeper, error) {
	k := &Keeper{data: data, names: names, now: now, log: log, a: a, file: written(data)}
	k.mu.Lock()
	defer k.mu.Unlock()
	_, err := k.present()
	return k, err
}

// Certificate answers a handshake (tls.Config.GetCertificate).
func (k *Keeper) Certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.present()
}

// Has reports whether a host of a request is one that the present certificate is for.
func (k *Keeper) Has(host string) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	if _, err := k.present(); err != nil {
		return false
	}
	may, _ := k.as.parted(k.a.cert)
	return may.Has(host)
}

// Authority is the present one.
func (k *Keeper) Authority() *Authority {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.a
}

// present is the certificate as it must be now. What cannot be looked at leaves things as they were, and is told.
func (k *Keeper) present() (*tls.Certificate, error) {
	now := k.now()
	if since := now.Sub(k.looked); k.leaf == nil || since >= lookEvery || since < 0 {
		k.looked = now
		k.reread()
		names, err := k.names()
		if err != nil {
			k.log.Warn("the names of this machine cannot be told; the last known ones stay", "error", err)
		} else if !names.equal(k.as) {
			k.as, k.leaf = names, nil
		}
	}
	if k.leaf != nil && k.leaf.Leaf.NotAfter.Sub(now) > renewIn && now.After(k.leaf.Leaf.NotBefore) {
		return k.leaf, nil
	}
	leaf, not, err := k.a.issue(k.as, now)
	if err != nil {
		if k.leaf != nil && now.Before(k.leaf.Leaf.NotAfter) {
			return k.leaf, nil // it holds still
		}
		return nil, err
	}
	k.leaf = leaf
	k.log.Info("a certificate was made", "names", strings.Join(leaf.Leaf.DNSNames, " "), "until", leaf.Leaf.NotAfter)
	if len(not) > 0 {
		k.log.Info("the firm's authority may not issue for some names: use another, or 'gelwright authority renew'",
			"names", strings.Join(not, " "))
	}
	return leaf, nil
}

// reread takes the authority that another program has put in place of this one.
func (k *Keeper) reread() {
	at := written(k.data)
	if at.Equal(k.file) {
		return
	}
	a, err := Open(k.data)
	if err != nil {
		k.log.Warn("the authority cannot be read again; the last known one stays", "error", err)
		return
	}
	k.file, k.a, k.leaf = at, a, nil
}

// written is when the kept file was written; the zero time where it is not there.
func written(data string) time.Time {
	info, err := os.Stat(Kept(data))
	if err != nil {
		return time.Time{}
	}
	return info.ModTime()
}
