package sheet

import (
	"fmt"
	"strings"
	"time"
)

// Facts are what the page tells of a server and its authority.
type Facts struct {
	// Server is the address that people open once their device trusts it, "https://192.0.2.7:8443/".
	Server string
	// Fetch is the address from which a phone fetches the certificate, in the clear; empty where none hands it out.
	Fetch string
	// Name is how lists of certificates call the authority, File the certificate's file beside the page.
	Name, File string
	// Fingerprint is its SHA-256 in groups.
	Fingerprint []string
	// Domains are the endings of names for which it may speak, beside addresses of private networks.
	Domains []string
	// Made and Ends are its days.
	Made, Ends time.Time
}

// part is a heading with what stands below it: steps are numbered, words are not.
type part struct {
	head  string
	words []string
	steps []string
}

// parts are what the page says below its code and fingerprint, in order; apart is where the second sheet begins.
func (f Facts) parts() (first, second []part) {
	get := "Point the camera at the square code, or type " + f.Fetch + " into the browser."
	if f.Fetch == "" {
		get = "Take the file " + f.File + " from whoever looks after the server, by cable, memory card or mail."
	}
	first = []part{
		{head: "Why this page", words: []string{
			"A device opens an encrypted page without a warning only when somebody it knows has signed the server's certificate. On a firm's own " +
				"network nobody public can do that, so this server has made an authority of its own. A device has to be told once to trust it. Then " +
				"the page opens with a closed padlock, works on the roof without a signal, and may use the camera."}},
		{head: "iPhone and iPad", steps: []string{
			get + " Use Safari. Allow the download of the configuration profile.",
			"Open Settings and tap “Profile Downloaded” near the top. Compare: tap More Details and the certificate; its SHA-256 fingerprint " +
				"must be the one on this page. If it is not, remove the profile.",
			"Tap Install and enter the passcode.",
			"Settings, General, About, Certificate Trust Settings: switch on “" + f.Name + "”.",
			"Open " + f.Server + " and add it to the home screen."}},
		{head: "Android", steps: []string{
			get + " The file is kept under Downloads.",
			"Open Settings and search for “CA certificate” (it is under Security, Encryption & credentials, Install a certificate). Tap Install " +
				"anyway, unlock the phone, and choose the file.",
			"Compare: in Trusted credentials, User, tap “" + f.Name + "”. Its SHA-256 fingerprint must be the one on this page. If it is not, " +
				"remove it there.",
			"Open " + f.Server + " in Chrome and add it to the home screen. Android reminds you from time to time that a certificate was added: " +
				"that is this one."}},
	}
	second = []part{
		{head: "Computers", words: []string{"Fetch the certificate first: " + fetchWords(f)},
			steps: []string{
				"Windows (Chrome, Edge): open the file, Install Certificate, Local Machine, “Place all certificates in the following store”, " +
					"Trusted Root Certification Authorities.",
				"macOS (Safari, Chrome): open the file, it comes into Keychain Access. Open it there, Trust, “Always Trust”.",
				"Linux (Chromium, Chrome): Settings, Privacy and security, Security, Manage certificates, Installed by you, " +
					"Trusted certificates, Import.",
				"Firefox anywhere: Settings, Privacy & Security, View Certificates, Authorities, Import; tick “Trust this CA to identify websites”.",
				"Compare the SHA-256 fingerprint in the certificate's details before you say yes; then open " + f.Server + "."}},
		{head: "What it means, and what could go wrong", words: []string{
			"The certificate is fetched unencrypted, because nothing is trusted yet. Somebody on the same network could hand out another one: " +
				"only the fingerprint on this paper tells. Do the comparison, on the firm's own network, not in a café.",
			"Whoever gets hold of the key of this authority can pose as a server to every device that trusts it. The key lies in the server's " +
				"data folder, which only the program's own user can read; who copies or backs up that folder must guard it as the firm's safe.",
			"The authority is bound: it can speak only for addresses of private networks and for names that end in " + list(f.Domains) + ". It " +
				"cannot pose as a bank or a mail service on a device that keeps to such bounds, as current browsers do and some older phones do not.",
			"Install no certificate that comes by itself or because some other page asks for it."}},
		{head: "Taking it back", words: []string{
			"Take the certificate off a device that leaves the firm: iPhone: Settings, General, VPN & Device Management, the profile, Remove. " +
				"Android: Trusted credentials, User. Computers: the list in which it was put.",
			"If the data folder may have been copied by a stranger, or the machine is lost: gelwright authority renew makes a new authority. " +
				"Print its page, and take the old one off every device.",
			"This authority was made on " + day(f.Made) + " and ends on " + day(f.Ends) + ". The server's own certificate is " +
				"renewed by itself and needs nothing."}},
	}
	return first, second
}

func fetchWords(f Facts) string {
	if f.Fetch == "" {
		return "it is the file " + f.File + " in the server's data folder."
	}
	return "open " + f.Fetch + ", or take the file " + f.File + " from the server's data folder."
}

func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

func day(t time.Time) string { return fmt.Sprintf("%d %s %d", t.Day(), t.Month(), t.Year()) }

// title heads the page.
const title = "Let your phone trust this server"
