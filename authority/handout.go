package authority

import (
	"net/http"
	"strconv"
	"time"
)

// HandOutName is what the certificate is called where it is handed out.
const HandOutName = "firm.crt"

// HandOut answers on the port from which phones fetch the authority's certificate, in the clear, because they trust nothing yet:
// the certificate under "/" and "/firm.crt", and nothing else, whatever is asked. present gives the authority as it is now.
func HandOut(present func() *Authority) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'; sandbox")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		switch {
		case r.URL.Path != "/" && r.URL.Path != "/"+HandOutName:
			http.Error(w, "Only the certificate of the firm's authority is here: open / for it.", http.StatusNotFound)
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			h.Set("Allow", "GET, HEAD")
			http.Error(w, "The certificate can be fetched, nothing else.", http.StatusMethodNotAllowed)
		default:
			der := present().Certificate()
			h.Set("Content-Type", "application/x-x509-ca-cert") // what phones open as a certificate
			h.Set("Content-Disposition", `attachment; filename="`+HandOutName+`"`)
			h.Set("Content-Length", strconv.Itoa(len(der)))
			if r.Method == http.MethodGet {
				_, _ = w.Write(der) // whoever has gone away asks again
			}
		}
	})
}

// HandOutServer is HandOut with the patience that it has: seconds, for a kilobyte.
func HandOutServer(present func() *Authority) *http.Server {
	const patience = 10 * time.Second
	return &http.Server{Handler: HandOut(present), ReadHeaderTimeout: patience, ReadTimeout: patience, WriteTimeout: patience,
		IdleTimeout: patience, MaxHeaderBytes: 8 << 10}
}
