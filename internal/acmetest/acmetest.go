package acmetest

import (
	"bytes"
	"crypto/x509"
	"encoding/pem"
	"log"
	"net"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/letsencrypt/pebble/v2/ca"
	"github.com/letsencrypt/pebble/v2/db"
	"github.com/letsencrypt/pebble/v2/va"
	"github.com/letsencrypt/pebble/v2/wfe"
	"github.com/miekg/dns"
)

// World is a public authority that runs until its test ends.
type World struct {
	// Directory is the address of its ACME, Client one that trusts it, Own the PEM of the certificate by which it is trusted.
	Directory string
	Client    *http.Client
	Own       []byte
	// Roots are trusted by whoever trusts what it issues.
	Roots *x509.CertPool
	// Said is what it has said of its work; to be read when it has nothing more to do.
	Said *bytes.Buffer
}

// New starts one that looks for the proof of a name at a port of this computer.
func New(t *testing.T, port int) *World {
	t.Helper()
	t.Setenv("PEBBLE_VA_NOSLEEP", "1")
	t.Setenv("PEBBLE_WFE_NONCEREJECT", "0")
	said := &bytes.Buffer{}
	told := log.New(said, "", 0)
	store := db.NewMemoryStore()
	issuer := ca.New(told, store, "", "ecdsa", 0, 1, map[string]ca.Profile{"default": {}})
	front := wfe.New(told, store, va.New(told, 1, port, false, names(t), store), issuer, []string{"roofs.test"}, false, false, 1, 1)
	on := httptest.NewTLSServer(front.Handler())
	t.Cleanup(on.Close)
	roots := x509.NewCertPool()
	roots.AddCert(issuer.GetRootCert(0).Cert)
	own := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: on.Certificate().Raw})
	return &World{on.URL + wfe.DirectoryPath, on.Client(), own, roots, said}
}

// names starts a name server by which every name is this computer, and gives its address.
func names(t *testing.T) string {
	t.Helper()
	on, err := net.Listen("tcp", "127.0.0.1:0") // pebble asks for names over TCP
	if err != nil {
		t.Fatal(err)
	}
	server := &dns.Server{Listener: on, Handler: dns.HandlerFunc(func(w dns.ResponseWriter, q *dns.Msg) {
		a := new(dns.Msg).SetReply(q)
		if q.Question[0].Qtype == dns.TypeA {
			head := dns.RR_Header{Name: q.Question[0].Name, Rrtype: dns.TypeA, Class: dns.ClassINET}
			a.Answer = []dns.RR{&dns.A{Hdr: head, A: net.IPv4(127, 0, 0, 1)}}
		}
		_ = w.WriteMsg(a)
	})}
	go server.ActivateAndServe()
	t.Cleanup(func() { server.Shutdown() })
	return on.Addr().String()
}
