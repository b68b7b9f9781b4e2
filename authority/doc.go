// Package authority is a firm's own certificate authority: what lets phones and computers on the firm's own network speak HTTPS with
// the program where there is no public name. It makes the authority once, in the data folder, issues short certificates in memory
// for the names and addresses of this machine, and writes the page by which a phone learns to trust it.
//
// An authority is an ECDSA key on P-256 with a certificate of ten years (RFC 5280). Name constraints keep it to names and addresses
// of private networks (RFC 1918, RFC 4193, RFC 6762, RFC 8375) and to the machine's own name, so that a stolen key is good for no
// site of the public network. The key lies in one file with its certificate, readable by its owner alone; it is never printed or logged.
package authority
