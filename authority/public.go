package authority

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"
)

// PublicFolder is where, in the data folder, the account and the certificates of public names lie.
const PublicFolder = "public"

// Public has certificates issued for public names by a public authority, by ACME (RFC 8555), and renewed a month before their end.
// That the names are this server's is proved on the port of HTTPS itself (RFC 8737), which the world must reach as port 443.
type Public struct {
	names   []string
	manager *autocert.Manager
}

// Asked is what a public authority is asked with.
type Asked struct {
	Names []string
	// Directory is the address of the authority's ACME; empty for the usual one.
	Directory string
	// Mail is where the authority writes when something is wrong; may be empty.
	Mail string
	// Client asks it; nil is the usual one.
	Client *http.Client
}

// NewPublic makes one whose certificates lie in a data folder. Its asker has agreed to the authority's terms.
func NewPublic(data string, a Asked) (*Public, error) {
	var names []string
	for _, n := range a.Names {
		name := clean(n)
		switch {
		case !named(name) || !strings.Contains(name, ".") || net.ParseIP(name) != nil:
			return nil, fmt.Errorf("%q is no name of the public network: write roofs.example", n)
		case within(name, private):
			return nil, fmt.Errorf("no public authority issues for %s, which is of a private network: give it with --name", name)
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return nil, errors.New("no public name is given")
	}
	directory := a.Directory
	if directory == "" {
		directory = autocert.DefaultACMEDirectory
	}
	kept := autocert.DirCache(filepath.Join(data, folderName, PublicFolder))
	return &Public{names, &autocert.Manager{Prompt: autocert.AcceptTOS, Cache: kept,
		HostPolicy: autocert.HostWhitelist(names...), Email: a.Mail, Client: &acme.Client{DirectoryURL: directory, HTTPClient: a.Client}}}, nil
}

// Names are those that certificates are for.
func (p *Public) Names() []string { return slices.Clone(p.names) }

// Has reports whether a host of a request, without its port, is one of them.
func (p *Public) Has(host string) bool { return slices.Contains(p.names, clean(host)) }

// Protocols are those that a handshake may ask for, by which the authority looks whether the name is this server's.
func (p *Public) Protocols() []string { return []string{acme.ALPNProto} }

// Certificate gives the certificate of a handshake, issued where there is none yet; a name that is not ours has none.
func (p *Public) Certificate(hello *tls.ClientHelloInfo) (*tls.Certificate, error) {
	return p.manager.GetCertificate(hello)
}

// hello is the handshake of a device of today, for a name.
func hello(name string) *tls.ClientHelloInfo {
	return &tls.ClientHelloInfo{ServerName: name, SupportedVersions: []uint16{tls.VersionTLS13}, SupportedCurves: []tls.CurveID{tls.CurveP256},
		SignatureSchemes: []tls.SignatureScheme{tls.ECDSAWithP256AndSHA256}, CipherSuites: []uint16{tls.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256}}
}

// Ends is until when the certificate of a name holds; the zero time where none was issued yet.
func (p *Public) Ends(ctx context.Context, name string) time.Time {
	if raw, err := p.manager.Cache.Get(ctx, name); err != nil || len(raw) == 0 {
		return time.Time{}
	}
	c, err := p.manager.GetCertificate(hello(name))
	if err != nil || c.Leaf == nil {
		return time.Time{}
	}
	return c.Leaf.NotAfter
}

// Fetch has the certificates issued that are not there yet, so that who opens the page first does not wait; what is refused is told
// to the log, and asked again by the next handshake.
func (p *Public) Fetch(log *slog.Logger) {
	for _, n := range p.names {
		if _, err := p.manager.GetCertificate(hello(n)); err != nil {
			log.Error("no certificate was issued: the name must lead to this machine, and its port 443 to this server", "name", n, "error", err)
			continue
		}
		log.Info("a certificate is there", "name", n, "until", p.Ends(context.Background(), n).Format(time.DateOnly))
	}
}
