package web

import (
	"errors"
	"net"
	"sync"
	"testing"
	"time"
)

// listening is a listener that hands out connections made by the test.
type listening struct {
	net.Listener
	conns chan net.Conn
	ended chan struct{}
	once  sync.Once
}

func (l *listening) Accept() (net.Conn, error) {
	select {
	case c := <-l.conns:
		return c, nil
	case <-l.ended:
		return nil, net.ErrClosed
	}
}

func (l *listening) Close() error { l.once.Do(func() { close(l.ended) }); return nil }

// patient notes how long a connection may take.
type patient struct {
	net.Conn
	until chan time.Time
}

func (p *patient) SetReadDeadline(t time.Time) error {
	p.until <- t
	return p.Conn.SetReadDeadline(t)
}

// A connection has ten seconds for its first byte, and as long as a server gives it after that (ASVS 5.0 13.1.3).
func TestTheFirstByteHasADeadline(t *testing.T) {
	on := &listening{conns: make(chan net.Conn), ended: make(chan struct{})}
	s := parted(on)
	defer s.Close()
	ours, theirs := net.Pipe()
	defer ours.Close()
	p := &patient{theirs, make(chan time.Time, 2)}
	before := time.Now()
	on.conns <- p
	if first := <-p.until; first.Before(before.Add(helloTimeout)) || first.After(time.Now().Add(helloTimeout)) {
		t.Errorf("its deadline is %v from now", first.Sub(before))
	}
	if _, err := ours.Write([]byte("G")); err != nil {
		t.Fatal(err)
	}
	if after := <-p.until; !after.IsZero() {
		t.Errorf("the deadline of the first byte holds on: %v", after)
	}
	got, err := s.clear.Accept()
	if err != nil {
		t.Fatal(err)
	}
	var b [1]byte
	if n, err := got.Read(b[:]); n != 1 || err != nil || b[0] != 'G' {
		t.Errorf("the first byte is lost: %q %v", b[:n], err)
	}
	got.Close()
}

// Connections of both kinds come at once, each to its half, and every place is given back.
func TestPartedAtOnce(t *testing.T) {
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := parted(on)
	var all, takers sync.WaitGroup
	count := func(p *half, n *int) {
		for {
			c, err := p.Accept()
			if errors.Is(err, net.ErrClosed) {
				return
			}
			*n++
			c.Close()
			c.Close() // a server may close twice
		}
	}
	var encrypted, clear int
	takers.Go(func() { count(s.encrypted, &encrypted) })
	takers.Go(func() { count(s.clear, &clear) })
	for i := range 60 {
		all.Go(func() {
			c, err := net.Dial("tcp", on.Addr().String())
			if err != nil {
				t.Error(err)
				return
			}
			defer c.Close()
			if i%3 == 2 {
				return // says nothing
			}
			if _, err := c.Write([]byte{[]byte{tlsRecord, 'G'}[i%3], 3}); err != nil {
				t.Error(err)
			}
			_, _ = c.Read(make([]byte, 1)) // until it is closed
		})
	}
	all.Wait()
	s.Close()
	takers.Wait()
	if encrypted != 20 || clear != 20 {
		t.Errorf("%d encrypted, %d in the clear", encrypted, clear)
	}
	for end := time.Now().Add(10 * time.Second); len(s.places) > 1 && time.Now().Before(end); {
		time.Sleep(time.Millisecond)
	}
	// One place may be with the next that was waited for.
	if n := len(s.places); n > 1 {
		t.Errorf("%d places were not given back", n)
	}
}
