package web

import "net/http"

const (
	signInPath = "/sign-in"
	firstPath  = "/first-owner"
	peopleName = "people.html"
)

// peoplePage answers with the page of accounts, which shows what its address names.
func (s *Server) peoplePage(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Cache-Control", "no-cache")
	return s.give(w, r, peopleName)
}
