package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"sync"
	"time"
)

// mostConnections may be open at once; more wait until one ends.
const mostConnections = 4096

// helloTimeout is how long a connection may take until its first byte is there.
const helloTimeout = 10 * time.Second

// tlsRecord is the first byte of a connection that begins a handshake (RFC 8446, 5.1: handshake, 22).
const tlsRecord = 22

// split parts what comes to one port by its first byte: encrypted connections and those in the clear.
type split struct {
	net.Listener
	encrypted, clear *half
	places           chan struct{}
	ended            chan struct{}
	once             sync.Once
}

// half is one half of a port, as a listener.
type half struct {
	of  *split
	got chan net.Conn
}

// parted listens on a port until it is closed.
func parted(on net.Listener) *split {
	s := &split{Listener: on, places: make(chan struct{}, mostConnections), ended: make(chan struct{})}
	s.encrypted, s.clear = &half{s, make(chan net.Conn)}, &half{s, make(chan net.Conn)}
	go s.accept()
	return s
}

// accept takes connections and has each looked at beside the others: one that says nothing holds nobody up.
func (s *split) accept() {
	for {
		select {
		case s.places <- struct{}{}:
		case <-s.ended:
			return
		}
		c, err := s.Listener.Accept()
		if err != nil {
			<-s.places
			if errors.Is(err, net.ErrClosed) {
				s.Close()
				return
			}
			time.Sleep(50 * time.Millisecond) // as when there are no file handles left: they come back
			continue
		}
		go s.look(&held{Conn: c, places: s.places})
	}
}

// look reads the first byte of a connection and hands it to its half.
func (s *split) look(c *held) {
	var first [1]byte
	_ = c.SetReadDeadline(time.Now().Add(helloTimeout)) // a connection that has no deadline ends with the port
	if _, err := io.ReadFull(c.Conn, first[:]); err != nil {
		c.Close()
		return
	}
	_ = c.SetReadDeadline(time.Time{})
	c.begun = bytes.NewReader(first[:])
	to := s.clear
	if first[0] == tlsRecord {
		to = s.encrypted
	}
	select {
	case to.got <- c:
	case <-s.ended:
		c.Close()
	}
}

// Close ends both halves.
func (s *split) Close() error {
	s.once.Do(func() { close(s.ended) })
	return s.Listener.Close()
}

func (p *half) Accept() (net.Conn, error) {
	select {
	case c := <-p.got:
		return c, nil
	case <-p.of.ended:
		return nil, net.ErrClosed
	}
}

func (p *half) Close() error   { return p.of.Close() }
func (p *half) Addr() net.Addr { return p.of.Addr() }

// held is a connection whose first byte was read, and that gives its place back when it ends.
type held struct {
	net.Conn
	begun  *bytes.Reader
	places chan struct{}
	once   sync.Once
}

func (h *held) Read(b []byte) (int, error) {
	if h.begun != nil && h.begun.Len() > 0 {
		return h.begun.Read(b)
	}
	return h.Conn.Read(b)
}

func (h *held) Close() error {
	h.once.Do(func() { <-h.places })
	return h.Conn.Close()
}

// Listen opens the port of an address. One beyond this computer is opened by a server alone that has HTTPS and accounts.
func (s *Server) Listen(ctx context.Context, address string) (net.Listener, error) {
	host, _, err := net.SplitHostPort(address)
	switch {
	case err != nil:
		return nil, fmt.Errorf("%q is no address and port: write 127.0.0.1:8080, or 127.0.0.1:0 for any free port", address)
	case !loopback(host) && s.Network == nil:
		return nil, fmt.Errorf("%s is not of this computer alone, and nothing would be encrypted: "+
			"write 127.0.0.1, [::1] or localhost before the port", address)
	case !loopback(host) && !s.Accounts:
		return nil, fmt.Errorf("%s is not of this computer alone, and no accounts are asked for that would keep strangers out: "+
			"write 127.0.0.1 before the port", address)
	}
	return new(net.ListenConfig).Listen(ctx, "tcp", address)
}

// Serve answers on a listener until ctx is done; what is under way may then end.
func (s *Server) Serve(ctx context.Context, on net.Listener) error {
	life, end := context.WithCancel(context.WithoutCancel(ctx))
	defer end()
	if s.Network != nil && s.Network.PerSecond > 0 {
		s.limits = limitsOf(s.Network.PerSecond)
	}
	server := s.server(life, s.Handler())
	ended := make(chan error, 2)
	all := []*http.Server{server}
	if s.Network == nil {
		go func() { ended <- server.Serve(on) }()
	} else {
		both, clear := parted(on), s.server(life, s.clear())
		server.TLSConfig = s.Network.config()
		all = append(all, clear)
		go func() { ended <- server.ServeTLS(both.encrypted, "", "") }()
		go func() { ended <- clear.Serve(both.clear) }()
	}
	select {
	case err := <-ended:
		return errors.Join(err, closeAll(all))
	case <-ctx.Done():
	}
	late, stop := context.WithTimeout(life, endTimeout)
	defer stop()
	var bad error
	for _, x := range all {
		if err := x.Shutdown(late); err != nil && !errors.Is(err, context.DeadlineExceeded) && !errors.Is(err, net.ErrClosed) {
			bad = errors.Join(bad, err)
		}
	}
	end()
	return errors.Join(bad, closeAll(all))
}

func closeAll(all []*http.Server) error {
	var bad error
	for _, x := range all {
		if err := x.Close(); err != nil && !errors.Is(err, net.ErrClosed) {
			bad = errors.Join(bad, err)
		}
	}
	return bad
}
