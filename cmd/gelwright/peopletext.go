package main

import (
	"io"
	"strings"
	"time"

	"gelwright/people"
)

// personRow is a person as JSON: no hash of a password is given out.
type personRow struct {
	ID       string      `json:"id"`
	SignIn   string      `json:"sign_in"`
	Name     string      `json:"name"`
	Role     people.Role `json:"role"`
	Made     time.Time   `json:"made"`
	Ended    *time.Time  `json:"ended,omitempty"`
	Password bool        `json:"password"`
}

func peopleRows(all []people.Account) []personRow {
	out := []personRow{}
	for i := range all {
		a := &all[i]
		row := personRow{ID: a.ID, SignIn: a.SignIn, Name: a.Name, Role: a.Role, Made: a.Made, Password: a.Password != ""}
		if !a.Lives() {
			row.Ended = &a.Ended
		}
		out = append(out, row)
	}
	return out
}

func printPeople(w io.Writer, all []people.Account) error {
	o := &printer{w: w}
	if len(all) == 0 {
		o.line("nobody may sign in yet: 'gelwright serve --listen :8443' prints an address by which the first owner is made, " +
			"and 'gelwright people add NAME --role owner' makes one too")
	}
	for i := range all {
		a := &all[i]
		state := ""
		switch {
		case !a.Lives():
			state = " (ended " + minute(a.Ended) + ")"
		case a.Password == "":
			state = " (no password chosen yet)"
		}
		o.line("%-20s  %-9s  %s%s", a.SignIn, a.Role, a.Name, state)
	}
	return o.err
}

// printInvitation prints an invitation behind the address of the server, where one is given.
func printInvitation(w io.Writer, a people.Account, at, secret string, ends time.Time) error {
	o := &printer{w: w}
	o.line("%s signs in as %s. This address lets the person choose a password, once, until %s:", a.Name, a.SignIn, minute(ends))
	o.line("%s/invitation#%s", strings.TrimSuffix(at, "/"), secret)
	if at == "" {
		o.line("Put the server's address before it, as https://roofs.example:8443")
	}
	return o.err
}

func printDeeds(w io.Writer, deeds []people.Deed) error {
	o := &printer{w: w}
	if len(deeds) == 0 {
		o.line("nobody has signed in or changed anything yet")
	}
	for _, d := range deeds {
		text := string(d.Kind)
		for _, more := range []string{d.About, d.Job} {
			if more != "" {
				text += ", " + more
			}
		}
		by := d.ByName
		if by == "" {
			by = "nobody known"
		}
		from := strings.TrimSpace(d.From + " " + d.Device)
		if from != "" {
			from = " (" + from + ")"
		}
		o.line("%s  %s: %s%s", minute(d.When), by, text, from)
	}
	return o.err
}
