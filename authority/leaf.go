package authority

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"errors"
	"fmt"
	"strings"
	"time"
)

// issue makes a certificate for a machine, with a key of its own that lives in memory alone. Names that the authority may not
// issue for are left out and given back; where none is left it is an error.
func (a *Authority) issue(names Names, now time.Time) (*tls.Certificate, []string, error) {
	may, not := names.parted(a.cert)
	if len(may.DNS)+len(may.Addresses) == 0 {
		return nil, not, fmt.Errorf("the firm's authority may issue for none of %s: make a new one with 'gelwright authority renew'",
			strings.Join(not, ", "))
	}
	begin := now.UTC().Truncate(time.Second)
	if !begin.Before(a.cert.NotAfter) || begin.Before(a.cert.NotBefore) {
		return nil, not, fmt.Errorf("the firm's authority holds from %s to %s and today is %s: check the clock, or make a new one with "+
			"'gelwright authority renew'", a.cert.NotBefore.Format(time.DateOnly), a.cert.NotAfter.Format(time.DateOnly),
			begin.Format(time.DateOnly))
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, not, err
	}
	serial, err := serialNumber()
	if err != nil {
		return nil, not, err
	}
	t := &x509.Certificate{SerialNumber: serial, Subject: pkix.Name{Organization: []string{"gelwright"}, CommonName: may.Host()},
		NotBefore: latest(begin.Add(-Backdated), a.cert.NotBefore), NotAfter: earliest(begin.AddDate(0, 0, LeafDays), a.cert.NotAfter),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		BasicConstraintsValid: true, DNSNames: may.DNS}
	for _, at := range may.Addresses {
		t.IPAddresses = append(t.IPAddresses, at.AsSlice())
	}
	der, err := x509.CreateCertificate(rand.Reader, t, a.cert, &key.PublicKey, a.key)
	if err != nil {
		return nil, not, fmt.Errorf("signing a certificate: %w", err)
	}
	leaf, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, not, err
	}
	// What browsers will say of it is asked before it is used.
	roots := x509.NewCertPool()
	roots.AddCert(a.cert)
	if _, err := leaf.Verify(x509.VerifyOptions{Roots: roots, CurrentTime: begin}); err != nil {
		return nil, not, errors.Join(errors.New("the firm's authority does not hold: make a new one with 'gelwright authority renew'"), err)
	}
	return &tls.Certificate{Certificate: [][]byte{der, a.cert.Raw}, PrivateKey: key, Leaf: leaf}, not, nil
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earliest(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
