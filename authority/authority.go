package authority

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"time"
)

// How long certificates hold. A public authority's leaf may have 398 days (CA/Browser Forum, Baseline Requirements, 6.3.2), and
// systems refuse longer ones; ours live in memory and are made anew long before.
const (
	Years    = 10                  // of an authority
	LeafDays = 90                  // of a certificate that it issues
	renewIn  = 30 * 24 * time.Hour // before its end a certificate is made anew
	// Backdated is how far before now a certificate begins: clocks of phones run behind.
	Backdated = 24 * time.Hour
)

// Authority is a firm's authority with its key.
type Authority struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
}

// makeNew makes an authority for a machine: a new key, and a certificate of Years that signs itself.
func makeNew(names Names, now time.Time) (*Authority, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	serial, err := serialNumber()
	if err != nil {
		return nil, err
	}
	begin := now.UTC().Truncate(time.Second)
	t := &x509.Certificate{
		SerialNumber: serial,
		// Day and number tell two authorities of one machine apart in the list of a phone.
		Subject: pkix.Name{Organization: []string{"gelwright"}, CommonName: fmt.Sprintf("%s roofs %s %04x", names.Host(),
			begin.Format(time.DateOnly), new(big.Int).And(serial, big.NewInt(0xffff)))},
		NotBefore: begin.Add(-Backdated), NotAfter: begin.AddDate(Years, 0, 0),
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true,
		KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageCRLSign, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: names.domains(), PermittedIPRanges: privateRanges(),
	}
	der, err := x509.CreateCertificate(rand.Reader, t, t, &key.PublicKey, key)
	if err != nil {
		return nil, fmt.Errorf("signing the authority: %w", err)
	}
	cert, err := x509.ParseCertificate(der)
	return &Authority{cert: cert, key: key}, err
}

// serialNumber is 127 random bits (RFC 5280, 4.1.2.2: positive, at most 20 bytes).
func serialNumber() (*big.Int, error) {
	return rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127))
}

// Certificate is the authority's certificate without its key, as DER: what a phone fetches.
func (a *Authority) Certificate() []byte { return a.cert.Raw }

// Name is how the authority is called in the lists of phones and browsers.
func (a *Authority) Name() string { return a.cert.Subject.CommonName }

// Begins is from when it holds.
func (a *Authority) Begins() time.Time { return a.cert.NotBefore }

// Ends is when it ends.
func (a *Authority) Ends() time.Time { return a.cert.NotAfter }

// Domains are the endings of names for which it may issue.
func (a *Authority) Domains() []string { return a.cert.PermittedDNSDomains }

// Fingerprint is the SHA-256 of its certificate as a phone shows it, in eight groups of four bytes: "0A 1B 2C 3D".
func (a *Authority) Fingerprint() []string {
	sum := sha256.Sum256(a.cert.Raw)
	out := make([]string, 0, len(sum)/4)
	for i := 0; i < len(sum); i += 4 {
		out = append(out, fmt.Sprintf("%02X %02X %02X %02X", sum[i], sum[i+1], sum[i+2], sum[i+3]))
	}
	return out
}

// Kinds of blocks in the kept file.
const (
	keyBlock  = "PRIVATE KEY"
	certBlock = "CERTIFICATE"
)

// kept is the authority as its file holds it: key and certificate in one, so that neither can be there without the other.
func (a *Authority) kept() ([]byte, error) {
	key, err := x509.MarshalPKCS8PrivateKey(a.key)
	if err != nil {
		return nil, err
	}
	return append(pem.EncodeToMemory(&pem.Block{Type: keyBlock, Bytes: key}),
		pem.EncodeToMemory(&pem.Block{Type: certBlock, Bytes: a.cert.Raw})...), nil
}

// errUnread says what a kept file is not; the file's bytes are never part of it.
var errUnread = errors.New("it holds no authority: a key and its certificate are wanted")

// read reads what kept wrote.
func read(raw []byte) (*Authority, error) {
	a := &Authority{}
	for block, rest := pem.Decode(raw); block != nil; block, rest = pem.Decode(rest) {
		switch block.Type {
		case keyBlock:
			key, err := x509.ParsePKCS8PrivateKey(block.Bytes)
			if err != nil {
				return nil, errUnread
			}
			a.key, _ = key.(*ecdsa.PrivateKey)
		case certBlock:
			cert, err := x509.ParseCertificate(block.Bytes)
			if err != nil {
				return nil, errUnread
			}
			a.cert = cert
		}
	}
	if a.key == nil || a.cert == nil || !a.cert.IsCA || !a.key.PublicKey.Equal(a.cert.PublicKey) {
		return nil, errUnread
	}
	return a, nil
}
